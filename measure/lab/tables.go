package lab

import "weighhouse/measure/sheet"

// The rows of the lab book's tables; the tags are the contract's column names.

type fieldRow struct {
	At    sheet.RowPlace `csv:"@row"`
	Field sheet.Text     `csv:"field"`
	Value sheet.Text     `csv:"value"`
}

type roomRow struct {
	At    sheet.RowPlace `csv:"@row"`
	Item  sheet.Text     `csv:"item"`
	Value sheet.Number   `csv:"value"`
	Unit  sheet.Text     `csv:"unit"`
	PM    sheet.Number   `csv:"±"`
	K     sheet.Number   `csv:"k"`
}

type instrumentRow struct {
	At         sheet.RowPlace `csv:"@row"`
	ID         sheet.Text     `csv:"id"`
	Measures   sheet.Text     `csv:"measures"`
	Serial     sheet.Text     `csv:"serial"`
	Calibrated sheet.Text     `csv:"calibrated"`
	Accuracy   sheet.Text     `csv:"accuracy"`
	Note       sheet.Text     `csv:"note"`
}

type decayRow struct {
	At           sheet.RowPlace `csv:"@row"`
	Run          sheet.Text     `csv:"run"`
	State        sheet.Text     `csv:"state"`
	Setting      sheet.Text     `csv:"setting"`
	Particle     sheet.Text     `csv:"particle"`
	Log          sheet.Text     `csv:"log"`
	Time         sheet.Text     `csv:"time"`
	Value        sheet.Text     `csv:"value"`
	From         sheet.Text     `csv:"from"`
	To           sheet.Text     `csv:"to"`
	Background   sheet.Number   `csv:"background"`
	BackgroundPM sheet.Number   `csv:"background ±"`
	K            sheet.Number   `csv:"k"`
	Instrument   sheet.Text     `csv:"instrument"`
	Exclude      sheet.Text     `csv:"exclude"`
	Why          sheet.Text     `csv:"why"`
}

type soundRow struct {
	At         sheet.RowPlace `csv:"@row"`
	Setting    sheet.Text     `csv:"setting"`
	Distance   sheet.Number   `csv:"distance"`
	Position   sheet.Text     `csv:"position"`
	Level      sheet.Span     `csv:"level"`
	PM         sheet.Number   `csv:"±"`
	K          sheet.Number   `csv:"k"`
	Log        sheet.Text     `csv:"log"`
	Time       sheet.Text     `csv:"time"`
	Value      sheet.Text     `csv:"value"`
	Background sheet.Number   `csv:"background"`
	Instrument sheet.Text     `csv:"instrument"`
}

type powerRow struct {
	At         sheet.RowPlace `csv:"@row"`
	Setting    sheet.Text     `csv:"setting"`
	Watts      sheet.Span     `csv:"watts"`
	PM         sheet.Number   `csv:"±"`
	K          sheet.Number   `csv:"k"`
	Log        sheet.Text     `csv:"log"`
	Time       sheet.Text     `csv:"time"`
	Value      sheet.Text     `csv:"value"`
	Instrument sheet.Text     `csv:"instrument"`
}

type countsRow struct {
	At         sheet.RowPlace `csv:"@row"`
	Size       sheet.Span     `csv:"size"`
	Up         sheet.Number   `csv:"upstream"`
	Down       sheet.Number   `csv:"downstream"`
	UpVolume   sheet.Number   `csv:"upstream volume"`
	DownVolume sheet.Number   `csv:"downstream volume"`
	Setting    sheet.Text     `csv:"setting"`
}

type loadingRow struct {
	At    sheet.RowPlace `csv:"@row"`
	Hours sheet.Number   `csv:"hours"`
	Rate  sheet.Number   `csv:"delivery rate"`
	Unit  sheet.Text     `csv:"unit"`
	PM    sheet.Number   `csv:"±"`
	K     sheet.Number   `csv:"k"`
	Run   sheet.Text     `csv:"run"`
	Dose  sheet.Number   `csv:"dose"`
}

type weightRow struct {
	At    sheet.RowPlace `csv:"@row"`
	Item  sheet.Text     `csv:"item"`
	Grams sheet.Number   `csv:"grams"`
	PM    sheet.Number   `csv:"±"`
	K     sheet.Number   `csv:"k"`
}

type costRow struct {
	At       sheet.RowPlace `csv:"@row"`
	Item     sheet.Text     `csv:"item"`
	Value    sheet.Span     `csv:"value"`
	Currency sheet.Text     `csv:"currency"`
	Option   sheet.Text     `csv:"option"`
}

type toleranceRow struct {
	At        sheet.RowPlace `csv:"@row"`
	Attribute sheet.Text     `csv:"attribute"`
	Tolerance sheet.Number   `csv:"tolerance"`
	Unit      sheet.Text     `csv:"unit"`
	Source    sheet.Text     `csv:"source"`
}
