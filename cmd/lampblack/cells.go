package main

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"lampblack/agent/journal"
	"lampblack/rules"
)

// The cells of the table.

// wordColumn is a column of words, which may have come from anywhere.
func wordColumn(head string, of func(journal.Entry) string) column {
	return column{head, func(e journal.Entry) string { return plainCell(of(e)) }}
}

// reportColumn is a column of words out of the report.
func reportColumn(head string, of func(*rules.Report) string) column {
	return wordColumn(head, func(e journal.Entry) string {
		if e.Report == nil {
			return ""
		}
		return of(e.Report)
	})
}

// figureColumn is a column of numbers out of the report.
func figureColumn(head string, of func(*rules.Report) rules.Figure) column {
	return column{head, func(e journal.Entry) string {
		if e.Report == nil {
			return ""
		}
		return figureCell(of(e.Report))
	}}
}

func figureCell(f rules.Figure) string {
	if v := float64(f); !math.IsNaN(v) && !math.IsInf(v, 0) {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return ""
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// plainCell keeps a spreadsheet from taking words for a formula, which could do
// as it pleases there: a file can be named =HYPERLINK(...). The apostrophe is how
// spreadsheets mark what is text.
func plainCell(cell string) string {
	cell = visible(cell)
	if first := strings.TrimLeft(cell, " \u00a0"); first != "" && slices.Contains(formulaSigns, []rune(first)[0]) {
		return "'" + cell
	}
	return cell
}

// formulaSigns begin a formula; the wide ones do in spreadsheets that narrow them.
var formulaSigns = []rune("=+-@＝＋－＠")
