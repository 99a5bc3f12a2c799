package xlsx

import "regexp"

// face is the free typeface of our workbooks (SIL Open Font License); where it is missing, programs put their own in its
// place.
const face = "Liberation Sans"

// foreign names, for each part of a workbook, what the library writes of itself or of another spreadsheet program, and
// what stands there instead. All of it is optional in ISO/IEC 29500-1: fileVersion 18.2.13, workbookPr 18.2.28, calcPr
// 18.2.2, the fonts by script of a theme 20.1.4.1.16.
var foreign = map[string][]struct {
	found *regexp.Regexp
	ours  string
}{
	"xl/workbook.xml": {
		{regexp.MustCompile(`<fileVersion\b[^>]*(/>|>\s*</fileVersion>)`), ""},
		{regexp.MustCompile(` (xmlns:mc|mc:Ignorable|xmlns:x15|defaultThemeVersion|calcId)="[^"]*"`), ""},
	},
	"xl/theme/theme1.xml": {
		{regexp.MustCompile(`<a:font script="[^"]*" typeface="[^"]*"(/>|>\s*</a:font>)`), ""},
		{regexp.MustCompile(`typeface="Calibri[^"]*"( panose="[^"]*")?`), `typeface="` + face + `"`},
		{regexp.MustCompile(` name="Office( Theme)?"`), ` name="weighhouse"`},
	},
}

// own returns a part of the workbook without the marks of the library and of other programs.
func own(part string, data []byte) []byte {
	for _, f := range foreign[part] {
		data = f.found.ReplaceAll(data, []byte(f.ours))
	}
	return data
}
