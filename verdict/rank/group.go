package rank

import (
	"fmt"
	"sort"
)

// settle ranks the entries of a criterion by what its pairs have shown, and puts them in the order in which they are
// printed.
//
// An entry's place lies from RankLow, 1 + the number shown to be better, to RankHigh, the number ranked less the number
// shown to be worse. Entries that are told apart from all the same others and from none of each other share a rank, "1=".
// Where that does not hold, as when A is told apart from C but B from neither, each has the range of its places, "1–2".
// The letters are the largest sets of which no two are told apart, so that two entries share a letter just if they are
// indistinguishable. Within a rank entries stand by name.
func (c *Criterion) settle() {
	n := len(c.Entries)
	apart := make([][]int, n) // +1: the row's entry is better than the column's
	for i := range apart {
		apart[i] = make([]int, n)
	}
	for _, p := range c.Pairs {
		if !p.Different {
			continue
		}
		sign := 1
		if (*c.Entries[p.a].Value < *c.Entries[p.b].Value) == (c.Better == "higher") {
			sign = -1
		}
		apart[p.a][p.b], apart[p.b][p.a] = sign, -sign
	}
	var ranked []int
	for i := range c.Entries {
		if c.Ranked && c.Entries[i].Value != nil && c.Entries[i].RankLow >= 0 {
			ranked = append(ranked, i)
		}
		c.Entries[i].RankLow, c.Entries[i].RankHigh = 0, 0
	}
	for _, i := range ranked {
		e := &c.Entries[i]
		e.RankLow, e.RankHigh = 1, len(ranked)
		for _, j := range ranked {
			switch apart[i][j] {
			case -1:
				e.RankLow++
			case 1:
				e.RankHigh--
			}
		}
	}
	for _, i := range ranked {
		c.Entries[i].Rank = c.rankText(i, ranked, apart)
	}
	sort.SliceStable(ranked, func(x, y int) bool { return c.before(ranked[x], ranked[y]) })
	for k, set := range cliques(ranked, apart) {
		g := Group{Letter: letter(k)}
		for _, i := range set {
			c.Entries[i].Letters += g.Letter
			g.Members = append(g.Members, c.Entries[i].Label)
		}
		c.Groups = append(c.Groups, g)
	}
	sort.SliceStable(c.Entries, func(i, j int) bool { return c.before(i, j) })
}

// before orders entries for print: by rank, those without one last, and by name within a rank.
func (c *Criterion) before(i, j int) bool {
	a, b := c.Entries[i], c.Entries[j]
	switch {
	case (a.RankLow == 0) != (b.RankLow == 0):
		return b.RankLow == 0
	case a.RankLow != b.RankLow:
		return a.RankLow < b.RankLow
	case a.RankHigh != b.RankHigh:
		return a.RankHigh < b.RankHigh
	}
	return a.Label < b.Label
}

// rankText writes an entry's rank; see settle.
func (c *Criterion) rankText(i int, ranked []int, apart [][]int) string {
	low, high := c.Entries[i].RankLow, c.Entries[i].RankHigh
	if low == high {
		return fmt.Sprint(low)
	}
	for _, j := range ranked {
		if apart[i][j] != 0 {
			continue
		}
		for _, k := range ranked {
			if apart[i][k] != apart[j][k] {
				return fmt.Sprintf("%d–%d", low, high)
			}
		}
	}
	return fmt.Sprintf("%d=", low)
}

// cliques gives the largest sets of entries of which no two are told apart, each in the order of ranked, the sets in the
// order of their first members. Bron and Kerbosch, Comm. ACM 16 (1973) 575, with a pivot.
func cliques(ranked []int, apart [][]int) [][]int {
	var out [][]int
	tied := func(i, j int) bool { return i != j && apart[ranked[i]][ranked[j]] == 0 }
	keep := func(set []int, i int) (kept []int) {
		for _, j := range set {
			if tied(i, j) {
				kept = append(kept, j)
			}
		}
		return kept
	}
	var grow func(r, p, x []int)
	grow = func(r, p, x []int) {
		if len(p) == 0 && len(x) == 0 {
			out = append(out, append([]int(nil), r...))
			return
		}
		pivot, most := 0, -1
		for _, set := range [][]int{p, x} {
			for _, i := range set {
				if k := len(keep(p, i)); k > most {
					pivot, most = i, k
				}
			}
		}
		for _, i := range append([]int(nil), p...) {
			if tied(pivot, i) {
				continue
			}
			grow(append(append([]int(nil), r...), i), keep(p, i), keep(x, i))
			p, x = without(p, i), append(x, i)
		}
	}
	all := make([]int, len(ranked))
	for i := range all {
		all[i] = i
	}
	if len(all) > 0 {
		grow(nil, all, nil)
	}
	for _, s := range out {
		sort.Ints(s)
	}
	sort.Slice(out, func(i, j int) bool {
		for k := 0; k < len(out[i]) && k < len(out[j]); k++ {
			if out[i][k] != out[j][k] {
				return out[i][k] < out[j][k]
			}
		}
		return len(out[i]) > len(out[j])
	})
	for _, s := range out {
		for k := range s {
			s[k] = ranked[s[k]]
		}
	}
	return out
}

func without(set []int, i int) (kept []int) {
	for _, j := range set {
		if j != i {
			kept = append(kept, j)
		}
	}
	return kept
}

// letter names groups a to z, then aa, ab and so on.
func letter(k int) string {
	if k < 26 {
		return string(rune('a' + k))
	}
	return letter(k/26-1) + letter(k%26)
}
