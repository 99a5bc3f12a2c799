// Package source reads the sources of trade knowledge: which documents a row of a table rests on, and how each of them is
// known.
package source

import (
	"slices"
	"strings"
)

// Marks lists the marks of trade knowledge, the strongest first: read, in the document named; computed, by this program;
// second-hand, from a restatement; memory, to be checked in the document; judgement, a choice of this project.
var Marks = []string{"read", "computed", "second-hand", "memory", "judgement"}

// Part is one document of a source, with how it is known.
type Part struct{ Document, Mark string }

// Split reads a source. Documents that are known in different ways stand apart by semicolons, each with its own mark in
// brackets behind it: "A (read); B (memory)". A source in which none carries a mark is one part, known as mark says; so is
// one that is none of ours, such as what a tester writes.
func Split(text, mark string) []Part {
	var out []Part
	own := false
	for _, s := range documents(text) {
		p := Part{s, mark}
		if i := strings.LastIndex(s, " ("); i > 0 && strings.HasSuffix(s, ")") {
			if m := s[i+2 : len(s)-1]; slices.Contains(Marks, m) {
				p, own = Part{s[:i], m}, true
			}
		}
		out = append(out, p)
	}
	if !own || !slices.Contains(Marks, mark) {
		return []Part{{text, mark}}
	}
	return out
}

// Mixed reports whether the documents of a source each carry a mark of their own.
func Mixed(text, mark string) bool { return Split(text, mark)[0].Document != text }

// Weakest is the mark of a row that rests on all the parts: that of the part least well known, "" for none.
func Weakest(parts []Part) string {
	worst := -1
	for _, p := range parts {
		worst = max(worst, slices.Index(Marks, p.Mark))
	}
	if worst < 0 {
		return ""
	}
	return Marks[worst]
}

// Cited is a source with its mark in a few words: "A; memory", or the source as it is where its documents carry their own.
func Cited(text, mark string) string {
	if mark == "" || text != "" && Mixed(text, mark) {
		return text
	}
	if text == "" {
		return mark
	}
	return text + "; " + mark
}

// Fault says what is wrong with the source and mark of a row of trade knowledge, "" for nothing: no source, a mark that
// is none of Marks, a mark that is stronger than what the source says of one of its documents, or that the source says again
// in words, a document without a mark beside others that have one.
func Fault(text, mark string) string {
	switch {
	case strings.TrimSpace(text) == "":
		return "no source"
	case !slices.Contains(Marks, mark):
		return "the mark is none of " + strings.Join(Marks, ", ")
	}
	lower := strings.ToLower(text)
	for _, weak := range []string{"second-hand", "memory", "not read", "not re-read", "restated"} {
		if mark == "read" && strings.Contains(lower, weak) {
			return "the mark is read, the source says " + weak
		}
	}
	if mark == "second-hand" && strings.Contains(lower, "memory") {
		return "the mark is second-hand, the source says memory"
	}
	for m, words := range map[string][]string{"second-hand": {"restated", "not read"}, "memory": {"from memory", "not re-read"}} {
		for _, w := range words {
			if mark == m && strings.Contains(lower, w) {
				return "the mark " + m + " is said twice: " + w
			}
		}
	}
	if !Mixed(text, mark) {
		return ""
	}
	for _, s := range documents(text) {
		if p := Split(s, mark)[0]; p.Document == s {
			return "no mark behind " + s
		}
	}
	if w := Weakest(Split(text, mark)); w != mark {
		return "the weakest of its documents is " + w
	}
	return ""
}

// documents splits a text at the semicolons that stand outside brackets.
func documents(text string) []string {
	var out []string
	depth, from := 0, 0
	for i, r := range text {
		switch r {
		case '(':
			depth++
		case ')':
			depth--
		case ';':
			if depth <= 0 {
				out = append(out, strings.TrimSpace(text[from:i]))
				from = i + 1
			}
		}
	}
	return append(out, strings.TrimSpace(text[from:]))
}
