package main

// captures are what was seen, as plain text and saved pages: invented marketing prose that holds the exact words of
// every claim. Each names where and when it was taken, as a capture should.
func captures() files {
	return files{
		"captures/listing-2026-04-20.html": []byte(pageApril),
		"captures/listing-2026-07-06.html": []byte(pageJuly),
		"captures/box-back.txt":            []byte(boxBack),
		"captures/manual-page-14.txt":      []byte(manualPage),
		"captures/rating-plate.txt":        []byte(ratingPlate),
	}
}

const pageApril = `<!DOCTYPE html>
<!-- invented page of an invented shop, for the demo case
     asked and final address: https://shop.example/brindlecote/fennow-40
     captured 2026-04-20T07:14:22Z (08:14:22 local), saved page, window 1280 x 900, language en, status 200 -->
<html lang="en">
<head><meta charset="utf-8"><title>Fennow 40 room air cleaner | Brindlecote Air Works</title></head>
<body>
<h1>Brindlecote Air Works Fennow 40</h1>
<p class="price">189.00 EUR</p>
<p>Settle down with a good book and let the Fennow 40 look after the air.</p>
<ul>
<li>Smoke clean air delivery rate 340 m³/h (220 cfm) at maximum speed</li>
<li>For rooms up to 60 m² (4.8 air changes an hour, ceiling 2.4 m)</li>
<li>Cleans your whole 60 m² reading room in just 12 minutes</li>
<li>Whisper-quiet: as low as 24 dB while you read</li>
<li>Eliminates 99.9 % of germs and allergens</li>
<li>Ozone-free ioniser, under 5 ppb</li>
<li>One filter lasts 12 months at 12 hours a day: a year of filters costs just 45 EUR</li>
</ul>
</body>
</html>
`

const pageJuly = `<!DOCTYPE html>
<!-- invented page of an invented shop, for the demo case
     asked and final address: https://shop.example/brindlecote/fennow-40
     captured 2026-07-06T08:51:40Z (09:51:40 local), saved page, window 1280 x 900, language en, status 200 -->
<html lang="en">
<head><meta charset="utf-8"><title>Fennow 40 room air cleaner | Brindlecote Air Works</title></head>
<body>
<h1>Brindlecote Air Works Fennow 40</h1>
<p class="price">189.00 EUR</p>
<p>Settle down with a good book and let the Fennow 40 look after the air.</p>
<ul>
<li>Smoke clean air delivery rate up to 290 m³/h at maximum speed</li>
<li>A quiet companion for reading rooms and studies</li>
</ul>
</body>
</html>
`

const boxBack = `Fennow 40, box, back panel: words as printed
photographed at Plumbrigg Town Library on 2026-04-20, 15:32 local time; typed from the photograph; invented for the demo case

BREATHE EASY, READ EASY
Pollen CADR 225 cfm on maximum
True HEPA-type H13 filter, medical grade
Captures 99.97 % of particles at 0.3 µm
500 g of activated carbon against odours
Brindlecote Air Works
`

const manualPage = `Fennow 40, owner's manual, page 14: words as printed
scanned at Plumbrigg Town Library on 2026-04-20, 15:40 local time; typed from the scan; invented for the demo case

TECHNICAL DATA
In sleep mode the smoke delivery rate is 90 m³/h
Sound pressure level 52 dB(A) at 1 m, maximum speed
Sound pressure level 33 dB(A) at 1 m, sleep mode
Annual energy 394 kWh at 24 hours a day, maximum speed
Removes 90 % of smoke from a 40 m³ room in 25 minutes at maximum speed

THE FILTER
Particle filter element F40-R: class E11 to EN 1822-1:2019 at a nominal air flow of 300 m³/h
Removes 99 % of particles at 1 µm
Change the filter every 6 months at 12 hours a day; filter F40-R, 45 EUR
`

const ratingPlate = `Fennow 40, rating plate under the base: words as printed
photographed at Plumbrigg Town Library on 2026-04-20, 15:47 local time; typed from the photograph; invented for the demo case

Brindlecote Air Works  Fennow 40  F40-W
230 V  50 Hz
Rated input 45 W
Standby 0.5 W
Serial BAW-F40-010377
`
