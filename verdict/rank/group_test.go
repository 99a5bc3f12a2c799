package rank

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"testing"
)

// criterion makes a ranked criterion of named values; apart lists the pairs that are told apart, as "AB".
func criterion(better string, values map[string]float64, names string, apart ...string) *Criterion {
	c := &Criterion{Ranked: true, Better: better}
	at := map[string]int{}
	for i, n := range names {
		v := values[string(n)]
		at[string(n)] = i
		c.Entries = append(c.Entries, Entry{Label: string(n), Unit: i, Value: &v})
	}
	for _, p := range apart {
		c.Pairs = append(c.Pairs, Pair{A: p[:1], B: p[1:], a: at[p[:1]], b: at[p[1:]], Different: true})
	}
	c.settle()
	return c
}

func printed(c *Criterion) (out []string) {
	for _, e := range c.Entries {
		out = append(out, e.Rank+" "+e.Label+" "+e.Letters)
	}
	return out
}

func TestRanks(t *testing.T) {
	v := map[string]float64{"A": 30, "B": 20, "C": 10, "D": 5}
	for _, c := range []struct {
		name string
		got  *Criterion
		want []string
	}{
		{"all apart", criterion("higher", v, "CAB", "CA", "AB", "CB"), []string{"1 A a", "2 B b", "3 C c"}},
		{"lower is better", criterion("lower", v, "CAB", "CA", "AB", "CB"), []string{"1 C a", "2 B b", "3 A c"}},
		{"all tied, by name", criterion("higher", v, "CBA"), []string{"1= A a", "1= B a", "1= C a"}},
		{"first two tied", criterion("higher", v, "CBA", "AC", "BC"), []string{"1= A a", "1= B a", "3 C b"}},
		{"last two tied", criterion("higher", v, "ABC", "AB", "AC"), []string{"1 A a", "2= B b", "2= C b"}},
		// A and C are told apart, B from neither: no one order, so the ranges of places.
		{"chain", criterion("higher", v, "ABC", "AC"), []string{"1–2 A a", "1–3 B ab", "2–3 C b"}},
		{"chain of four", criterion("higher", v, "DCBA", "AC", "AD", "BD"), []string{"1–2 A a", "1–3 B ab", "2–4 C bc", "3–4 D c"}},
		{"two couples", criterion("higher", v, "ABCD", "AC", "AD", "BC", "BD"), []string{"1= A a", "1= B a", "3= C b", "3= D b"}},
	} {
		if got := printed(c.got); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
	}
}

// For any outcome of the pairs: two share a letter just if they are not told apart; places hold every shown order; and
// equal rank texts "n=" stand only on units that are tied with each other.
func TestRanksProperty(t *testing.T) {
	const seed = 20260523
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 1))
	for range 2000 {
		n := 2 + rng.IntN(6)
		names, values := "", map[string]float64{}
		for i := range n {
			names += string(rune('A' + i))
			values[string(rune('A'+i))] = rng.Float64()
		}
		apart := map[string]bool{}
		var list []string
		for i := range n {
			for j := i + 1; j < n; j++ {
				if rng.Float64() < 0.5 {
					p := names[i:i+1] + names[j:j+1]
					list, apart[p] = append(list, p), true
					apart[names[j:j+1]+names[i:i+1]] = true
				}
			}
		}
		c := criterion("higher", values, names, list...)
		for _, x := range c.Entries {
			for _, y := range c.Entries {
				if x.Label == y.Label {
					continue
				}
				share := false
				for _, r := range x.Letters {
					for _, s := range y.Letters {
						share = share || r == s
					}
				}
				told := apart[x.Label+y.Label]
				if share == told {
					t.Fatalf("%v: %s %q and %s %q, told apart %v", list, x.Label, x.Letters, y.Label, y.Letters, told)
				}
				if told && x.Rank == y.Rank && x.Rank == fmt.Sprintf("%d=", x.RankLow) {
					t.Fatalf("%v: %s and %s are told apart and both ranked %s", list, x.Label, y.Label, x.Rank)
				}
			}
			if x.RankLow < 1 || x.RankLow > x.RankHigh || x.RankHigh > n {
				t.Fatalf("%v: %s has places %d to %d of %d", list, x.Label, x.RankLow, x.RankHigh, n)
			}
		}
	}
}

func TestLetters(t *testing.T) {
	for k, want := range map[int]string{0: "a", 25: "z", 26: "aa", 27: "ab", 51: "az", 52: "ba", 701: "zz", 702: "aaa"} {
		if got := letter(k); got != want {
			t.Errorf("letter(%d) = %q, want %q", k, got, want)
		}
	}
}
