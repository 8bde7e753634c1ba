package strip

import (
	"image"
	"strconv"
)

// part is a piece of the sheet as wide as the whole; paint may be nil.
type part struct {
	height int
	paint  func(p *page, top int)
}

func height(parts []part) int {
	h := 0
	for _, part := range parts {
		h += part.height
	}
	return h
}

// draw makes the page. samples are those of the crop.
func (s *sheet) draw(ls lights, samples []uint16) *page {
	parts := s.parts(ls, samples)
	p := newPage(s.width, height(parts), ls.neutral(surroundL))
	top := 0
	for _, part := range parts {
		if part.paint != nil {
			part.paint(p, top)
		}
		top += part.height
	}
	return p
}

// parts is the sheet from top to bottom. Before it is painted, its height may
// be asked for without lights and samples.
func (s *sheet) parts(ls lights, samples []uint16) []part {
	margin, paragraph, label := part{height: mm(marginMM)}, part{height: mm(paragraphMM)}, part{height: mm(labelMM)}
	return []part{
		margin,
		{s.title.lineHeight(), func(p *page, top int) {
			s.title.draw(p, mm(marginMM), top, s.head, ls.neutral(inkL))
		}},
		s.block(ls, s.about),
		paragraph,
		{s.patch.Y, func(p *page, top int) { s.paintPatches(p, top, ls, samples) }},
		label,
		s.labels(ls, s.step, s.stepLabels()),
		paragraph,
		s.block(ls, s.caption),
		label,
		{mm(bandMM), func(p *page, top int) { s.paintWedge(p, top, ls) }},
		label,
		s.labels(ls, s.plain, wedgeLabels()),
		paragraph,
		s.block(ls, s.to),
		margin,
	}
}

// block is lines in the plain size.
func (s *sheet) block(ls lights, lines []string) part {
	pitch := s.plain.lineHeight()
	return part{pitch * len(lines), func(p *page, top int) {
		for i, line := range lines {
			s.plain.draw(p, mm(marginMM), top+i*pitch, line, ls.neutral(inkL))
		}
	}}
}

// labels is a line of texts, each in the middle of its column.
func (s *sheet) labels(ls lights, t texts, list []string) part {
	return part{t.lineHeight(), func(p *page, top int) {
		for i, text := range list {
			left, right := s.column(i, len(list))
			t.draw(p, (left+right-t.width(text))/2, top, text, ls.neutral(inkL))
		}
	}}
}

// column is where the i-th of n equal columns begins and ends.
func (s *sheet) column(i, n int) (left, right int) {
	span := s.inner() + mm(gapMM)
	return mm(marginMM) + i*span/n, mm(marginMM) + (i+1)*span/n - mm(gapMM)
}

func (s *sheet) stepLabels() []string {
	var list []string
	for _, step := range s.steps {
		list = append(list, StepLabel(step))
	}
	return list
}

func wedgeLabels() []string {
	var list []string
	for _, l := range wedge {
		list = append(list, strconv.FormatFloat(l, 'f', -1, 64))
	}
	return list
}

// patchAt is the upper left corner of the i-th patch, in the middle of its column.
func (s *sheet) patchAt(i, top int) image.Point {
	left, right := s.column(i, len(s.steps))
	return image.Pt((left+right-s.patch.X)/2, top)
}

func (s *sheet) paintPatches(p *page, top int, ls lights, samples []uint16) {
	for i, step := range s.steps {
		p.paste(s.patchAt(i, top), samples, s.patch.X/s.scale, s.scale, ls.exposed(step))
	}
}

// paintWedge paints patches in a band of black: each can be told from the black
// around it, or not.
func (s *sheet) paintWedge(p *page, top int, ls lights) {
	margin := mm(marginMM)
	p.fill(image.Rect(margin, top, margin+s.inner(), top+mm(bandMM)), ls.neutral(0))
	for i, l := range wedge {
		p.fill(s.wedgeAt(i, top), ls.neutral(l))
	}
}

// wedgeAt is where the i-th of the wedge's patches is, in a band that begins at top.
func (s *sheet) wedgeAt(i, top int) image.Rectangle {
	left, right := s.column(i, len(wedge))
	return image.Rect(left+mm(insetMM), top+mm(insetMM), right-mm(insetMM), top+mm(bandMM-insetMM))
}
