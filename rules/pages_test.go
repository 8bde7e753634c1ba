package rules

// pages are whole reports in words, on the quay, as a person reads them.
var pages = []struct {
	name   string
	report func() *Report
	want   string
}{
	{"a bright room, and a screen turned up for it", func() *Report { return evaluated(white(140), lux(180), notHeld) }, `
Likely dark: about ⅓ stop (±0.1)
What you saw
  Screen luminance 208 ±6 cd/m², expected: 140 cd/m² measured, but not held (held = false) in a bright room: too bright (target 90–120)
  White point 6000 K: as it should be (target 5600–6500)
  Room light 180 ±27 lx, read at the screen less than a minute ago: too bright (target 16–64)
  Surround 20 ±2 % of white: as it should be (target 15–30 %)
  Calibration age 1 day: as it should be (target up to 30 days)
  Screen contrast 900 ±90 : 1
What the print will do
  Against your targets, which the verdict is about: about ⅓ stop darker (shadows +0.3, midtones +0.3, highlights +0.4; + is darker).
  Its colours: about 7 % less colourful.
  At hall wall, on harbour rag: about ⅔ stop darker (shadows +0.2, midtones +0.8, highlights +0.7; + is darker).
  Its colours in that light: greys clearly warmer.
  About 7 % of the picture is lost in this paper's black.
  Of about 176 shadow steps you see, about 140 would be there at your targets, and the print will hold about 65.
  A sheet of harbour rag is as bright as your 208 cd/m² in about 720 lx, as your target's 95 in about 330; hall wall has 200 lx.
Why
  About +0.5 stop: the screen is brighter than you aim for.
  About −0.3 stop: the room is brighter than you aim for, so the picture looks darker.
  About +0.1 stop: the room's light veils the screen's shadows.
  Together about +0.3 stop, with what is too small to name.
How sure
  Darker 95 %, lighter 0 %, drab 59 %.
  Two times in three the whole picture is between +0.2 and +0.4 stop off.
  Measuring the screen luminance now would take away much of the doubt.
What to do
  Set the screen's white to about 103 cd/m² and hold it there, or lift this file by +0.4.
  Or: lift the shadows of this file by about +0.3 stop.
  For the place where it hangs: light the print at hall wall with about 700 lx.
  Lamps get hot, and mains wiring and ladders are for people trained for them; follow local codes.
Notes
  The file states no resolution; at 300 ppi it prints as 50.8 × 33.9 cm (20 × 13.3 in).
  12 % of the picture is darker than the deepest black of "harbour rag": without black point compensation its steps merge there.
`},
	{"a bright screen, measured long ago", func() *Report { return evaluated(white(200), measured(45)) }, `
Likely dark: about ¾ stop in the shadows (±0.1)
What you saw
  Screen luminance 200 ±16 cd/m²: too bright (target 90–120)
  White point 6000 K: as it should be (target 5600–6500)
  Room light 48 ±7 lx, read at the screen less than a minute ago: as it should be (target 16–64)
  Surround 20 ±2 % of white: as it should be (target 15–30 %)
  Calibration age 45 days: due (target up to 30 days)
  Screen contrast 900 ±90 : 1
What the print will do
  Against your targets, which the verdict is about: about ⅔ stop darker (shadows +0.8, midtones +0.6, highlights +0.4; + is darker).
  Its colours: about 4 % less colourful.
  At hall wall, on harbour rag: about 1 stop darker (shadows +0.8, midtones +1.1, highlights +0.8; + is darker).
  Its colours in that light: greys clearly warmer.
  About 4 % of the picture is lost in this paper's black.
  Of about 187 shadow steps you see, about 140 would be there at your targets, and the print will hold about 65.
  A sheet of harbour rag is as bright as your 200 cd/m² in about 690 lx, as your target's 95 in about 330; hall wall has 200 lx.
Why
  About +0.6 stop: the screen is brighter than you aim for.
How sure
  Darker 100 %, lighter 0 %, drab 49 %.
  Two times in three the whole picture is between +0.5 and +0.7 stop off.
  Measuring the screen luminance now would take away much of the doubt.
  The age of the calibration moves nothing by itself, but nobody knows what has moved since.
What to do
  Set the screen's white to about 95 cd/m², or lift this file by +0.8.
  Or: lift the shadows of this file by about +0.8 stop.
  For the place where it hangs: light the print at hall wall with about 1300 lx.
  Lamps get hot, and mains wiring and ladders are for people trained for them; follow local codes.
Notes
  The file states no resolution; at 300 ppi it prints as 50.8 × 33.9 cm (20 × 13.3 in).
  12 % of the picture is darker than the deepest black of "harbour rag": without black point compensation its steps merge there.
`},
	{"a bright room", func() *Report { return evaluated(lux(150)) }, `
Can't tell: the room is too bright to judge a print in
What you saw
  Screen luminance 95 ±3 cd/m²: as it should be (target 90–120)
  White point 6000 K: as it should be (target 5600–6500)
  Room light 150 ±23 lx, read at the screen less than a minute ago: too bright (target 16–64)
  Surround 20 ±2 % of white: as it should be (target 15–30 %)
  Calibration age 1 day: as it should be (target up to 30 days)
  Screen contrast 900 ±90 : 1
What the print will do
  Against your targets, which the verdict is about: as light as you saw it (shadows 0.0, midtones −0.1, highlights 0.0; + is darker).
  At hall wall, on harbour rag: about ¼ stop darker (shadows −0.2, midtones +0.4, highlights +0.3; + is darker).
  Its colours in that light: greys clearly warmer.
  About 6 % of the picture is lost in this paper's black.
  Of about 127 shadow steps you see, the print will hold about 65.
  A sheet of harbour rag is as bright as your 95 cd/m² in about 330 lx; hall wall has 200 lx.
Why
  About −0.1 stop: the room is brighter than you aim for, so the picture looks darker.
  About +0.1 stop: the room's light veils the screen's shadows.
  Together about 0.0 stop, with what is too small to name.
How sure
  Darker 0 %, lighter 0 %, drab 0 %.
  Two times in three the whole picture is between −0.1 and 0.0 stop off.
What to do
  Dim the room light below 64 lx at the screen, then look at the picture again.
  Lamps get hot, and mains wiring and ladders are for people trained for them; follow local codes.
Notes
  The file states no resolution; at 300 ppi it prints as 50.8 × 33.9 cm (20 × 13.3 in).
  12 % of the picture is darker than the deepest black of "harbour rag": without black point compensation its steps merge there.
`},
	{"everything right", func() *Report { return evaluated() }, `
Should hold: as at your targets (±0.1 stop)
What you saw
  Screen luminance 95 ±3 cd/m²: as it should be (target 90–120)
  White point 6000 K: as it should be (target 5600–6500)
  Room light 48 ±7 lx, read at the screen less than a minute ago: as it should be (target 16–64)
  Surround 20 ±2 % of white: as it should be (target 15–30 %)
  Calibration age 1 day: as it should be (target up to 30 days)
  Screen contrast 900 ±90 : 1
What the print will do
  Against your targets, which the verdict is about: as light as you saw it.
  At hall wall, on harbour rag: about ⅓ stop darker (shadows −0.1, midtones +0.5, highlights +0.4; + is darker).
  Its colours in that light: greys clearly warmer.
  About 6 % of the picture is lost in this paper's black.
  Of about 140 shadow steps you see, the print will hold about 65.
  A sheet of harbour rag is as bright as your 95 cd/m² in about 330 lx; hall wall has 200 lx.
Why
  Nothing at the desk moves the print by as much as 0.05 stop.
How sure
  Darker 0 %, lighter 0 %, drab 0 %.
  Two times in three the whole picture is between −0.1 and +0.1 stop off.
What to do
  Nothing: it is fit to print.
  For the place where it hangs: light the print at hall wall with about 380 lx.
  Lamps get hot, and mains wiring and ladders are for people trained for them; follow local codes.
Notes
  The file states no resolution; at 300 ppi it prints as 50.8 × 33.9 cm (20 × 13.3 in).
  12 % of the picture is darker than the deepest black of "harbour rag": without black point compensation its steps merge there.
`},
	{"a white surround", func() *Report { return evaluated(around(0.95)) }, `
Likely light: about 1 stop in the shadows (±0.1)
What you saw
  Screen luminance 95 ±3 cd/m²: as it should be (target 90–120)
  White point 6000 K: as it should be (target 5600–6500)
  Room light 48 ±7 lx, read at the screen less than a minute ago: as it should be (target 16–64)
  Surround 95 ±10 % of white: too bright (target 15–30 %)
  Calibration age 1 day: as it should be (target up to 30 days)
  Screen contrast 900 ±90 : 1
What the print will do
  Against your targets, which the verdict is about: about ½ stop lighter (shadows −0.9, midtones −0.4, highlights −0.1; + is darker).
  Its colours: about 5 % more colourful.
  At hall wall, on harbour rag: less than ⅛ stop lighter (shadows −1.0, midtones +0.1, highlights +0.2; + is darker).
  Its colours in that light: greys clearly warmer.
  About 11 % of the picture is lost in this paper's black.
  Of about 140 shadow steps you see, the print will hold about 65.
  A sheet of harbour rag is as bright as your 95 cd/m² in about 330 lx; hall wall has 200 lx.
Why
  About −0.5 stop: the surround is lighter than you aim for, so the picture looks darker.
How sure
  Darker 0 %, lighter 100 %, drab 0 %.
  Two times in three the whole picture is between −0.5 and −0.4 stop off.
What to do
  Set the editor's surround to a grey of about 20 % of white (sRGB 124, L* 52), or lower this file by 0.6.
  Or: dim the room light to about 16 lx at the screen, which leaves less than 0.1 stop.
  Or: lower the shadows of this file by about 0.9 stop.
  Lamps get hot, and mains wiring and ladders are for people trained for them; follow local codes.
Notes
  The file states no resolution; at 300 ppi it prints as 50.8 × 33.9 cm (20 × 13.3 in).
  12 % of the picture is darker than the deepest black of "harbour rag": without black point compensation its steps merge there.
`},
	{"a blue screen that nobody measured", func() *Report { return evaluated(unmeasured, room(), whitePointOf(9000)) }, `
Likely dark: about ½ stop in the shadows (±0.5)
What you saw
  Screen luminance 160 ±48 cd/m², assumed: too bright (target 90–120)
  White point 9000 K: too cool (target 5600–6500)
  Room light 48 ±43 lx, assumed: as it should be (target 16–64)
  Surround 20 ±2 % of white: as it should be (target 15–30 %)
  Calibration age unknown: not known (target up to 30 days)
  Screen contrast 900 ±90 : 1
What the print will do
  Against your targets, which the verdict is about: about ½ stop darker (shadows +0.6, midtones +0.4, highlights +0.3; + is darker).
  Its colours: greys slightly warmer, about 8 % less colourful.
  At hall wall, on harbour rag: about ¾ stop darker (shadows +0.6, midtones +0.9, highlights +0.7; + is darker).
  Its colours in that light: greys clearly warmer.
  About 5 % of the picture is lost in this paper's black.
  Of about 172 shadow steps you see, about 140 would be there at your targets, and the print will hold about 65.
  A sheet of harbour rag is as bright as your 160 cd/m² in about 550 lx, as your target's 95 in about 330; hall wall has 200 lx.
Why
  About +0.4 stop: the screen is brighter than you aim for.
How sure
  Darker 77 %, lighter 1 %, drab 69 %.
  Two times in three the whole picture is between +0.1 and +0.8 stop off.
  Measuring the screen luminance now would take away much of the doubt.
What to do
  Set the screen's white to about 95 cd/m², or lift this file by +0.5.
  Or: lift the shadows of this file by about +0.6 stop.
  For the place where it hangs: light the print at hall wall with about 930 lx.
  Lamps get hot, and mains wiring and ladders are for people trained for them; follow local codes.
Notes
  The file states no resolution; at 300 ppi it prints as 50.8 × 33.9 cm (20 × 13.3 in).
  12 % of the picture is darker than the deepest black of "harbour rag": without black point compensation its steps merge there.
`},
	{"a bright screen, and prints that always come out lighter", func() *Report { return evaluated(white(135), taught(-0.35, 12)) }, `
Should hold: as at your targets (±0.1 stop)
What you saw
  Screen luminance 135 ±4 cd/m²: too bright (target 90–120)
  White point 6000 K: as it should be (target 5600–6500)
  Room light 48 ±7 lx, read at the screen less than a minute ago: as it should be (target 16–64)
  Surround 20 ±2 % of white: as it should be (target 15–30 %)
  Calibration age 1 day: as it should be (target up to 30 days)
  Screen contrast 900 ±90 : 1
What the print will do
  Against your targets, which the verdict is about: as light as you saw it (shadows 0.0, midtones 0.0, highlights −0.1; + is darker).
  At hall wall, on harbour rag: about ⅔ stop darker (shadows +0.3, midtones +0.7, highlights +0.6; + is darker).
  Its colours in that light: greys clearly warmer.
  About 5 % of the picture is lost in this paper's black.
  Of about 161 shadow steps you see, about 140 would be there at your targets, and the print will hold about 65.
  A sheet of harbour rag is as bright as your 135 cd/m² in about 460 lx, as your target's 95 in about 330; hall wall has 200 lx.
Why
  About +0.3 stop: the screen is brighter than you aim for.
  Learnt from 12 prints of yours: about 0.0 stop where reckoning alone gives +0.3.
How sure
  Darker 3 %, lighter 0 %, drab 0 %.
  Two times in three the whole picture is between −0.1 and +0.1 stop off.
What to do
  Nothing: it is fit to print.
  For the place where it hangs: light the print at hall wall with about 670 lx.
  Lamps get hot, and mains wiring and ladders are for people trained for them; follow local codes.
Notes
  The file states no resolution; at 300 ppi it prints as 50.8 × 33.9 cm (20 × 13.3 in).
  12 % of the picture is darker than the deepest black of "harbour rag": without black point compensation its steps merge there.
`},
	{"a proof in hardly any light", func() *Report { return seenAt(PrintCritical, white(120), lux(2)) }, `
Likely dark: about 1.2 stops in the shadows (±0.1)
What you saw
  Screen luminance 120 ±4 cd/m²: as it should be (target 90–120)
  White point 6000 K: as it should be (target 5600–6500)
  Room light 2 ±0.3 lx, read at the screen less than a minute ago: too dark (target 16–64)
  Surround 20 ±2 % of white: as it should be (target 15–30 %)
  Calibration age 1 day: as it should be (target up to 30 days)
  Screen contrast 900 ±90 : 1
What the print will do
  Against your targets, which the verdict is about: about ¾ stop darker (shadows +1.3, midtones +0.7, highlights +0.3; + is darker).
  Its colours: greys slightly cooler, about 9 % more colourful.
  At ISO 3664 P1, on harbour rag: about ⅓ stop lighter (shadows −0.4, midtones −0.3, highlights −0.6; + is darker).
  Its colours in that light: greys slightly pinker.
  About 4 % of the picture is lost in this paper's black.
  Of about 162 shadow steps you see, about 140 would be there at your targets, and the print will hold about 118.
  A sheet of harbour rag is as bright as your 120 cd/m² in about 410 lx, as your target's 95 in about 330; ISO 3664 P1 has 2000 lx.
Why
  About +0.7 stop: the room is darker than you aim for, so the picture looks lighter.
  About +0.2 stop: the screen is brighter than you aim for.
  Together about +0.8 stop, with what is too small to name.
How sure
  Darker 100 %, lighter 0 %, drab 0 %.
  Two times in three the whole picture is about +0.8 stop off.
What to do
  Bring the room light up to about 64 lx at the screen, which leaves about +0.1 stop, or lift this file by +0.9.
  Or: lift the shadows of this file by about +1.3 stop.
  Lamps get hot, and mains wiring and ladders are for people trained for them; follow local codes.
Notes
  The file states no resolution; at 300 ppi it prints as 50.8 × 33.9 cm (20 × 13.3 in).
  12 % of the picture is darker than the deepest black of "harbour rag": without black point compensation its steps merge there.
`},
	{"nothing but black, and a note", func() *Report {
		pic := extremePictures["all black"]
		pic.Notes = []string{"untagged: taken as sRGB"}
		return Evaluate(tidemark(), exportOf(pic), noon)
	}, `
Should hold: there is nothing but black in it
What you saw
  Screen luminance 95 ±3 cd/m²: as it should be (target 90–120)
  White point 6000 K: as it should be (target 5600–6500)
  Room light 48 ±7 lx, read at the screen less than a minute ago: as it should be (target 16–64)
  Surround 20 ±2 % of white: as it should be (target 15–30 %)
  Calibration age 1 day: as it should be (target up to 30 days)
  Screen contrast 900 ±90 : 1
What the print will do
  Against your targets, which the verdict is about: nothing to compare, there is nothing but black in it.
  At hall wall, on harbour rag: nothing to compare, there is nothing but black in it.
  A sheet of harbour rag is as bright as your 95 cd/m² in about 330 lx; hall wall has 200 lx.
How sure
  Darker 0 %, lighter 0 %, drab 0 %.
What to do
  Nothing: it is fit to print.
Notes
  untagged: taken as sRGB
`},
}
