package claims

import (
	"reflect"
	"regexp"
	"strings"
	"sync"

	"weighhouse/measure"
	"weighhouse/measure/setting"
)

// likeness says whether two claims speak of one thing.
type likeness int

const (
	different likeness = iota // they say themselves that they do not
	unsure                    // one of them does not say
	same                      // both say so, or neither can mean anything else
)

// and is the lesser of two.
func (l likeness) and(o likeness) likeness { return min(l, o) }

func likenessOf[T comparable](a, b, blank T) likeness {
	switch {
	case a == b:
		return same
	case a == blank || b == blank:
		return unsure
	}
	return different
}

// settingsAlike compares the settings of two claims. Of a claim that names none the attribute tells: a rate and the watts
// are those of the highest (contract), a level or a yearly energy may be of any.
func settingsAlike(a, b Claim) likeness {
	blank := func(c Claim) bool {
		return strings.TrimSpace(c.Setting) == "" && (c.Attribute == Noise || c.Attribute == AnnualEnergy) && !setting.Ceiling(c.Wording)
	}
	switch {
	case blank(a) && blank(b):
		return same
	case blank(a) || blank(b):
		return unsure
	case setting.Same(a.Setting, b.Setting):
		return same
	case highestOf(a) && highestOf(b):
		return same
	case highestOf(a) != highestOf(b) && (setting.Below(a.Setting) || setting.Below(b.Setting)):
		return different
	case setting.ClassOf(a.Setting) == "" != (setting.ClassOf(b.Setting) == ""):
		return unsure // "speed 3" beside "high"
	}
	return different
}

// highestOf reports whether a claim is of the highest setting for sure: it asks for it, or its name leaves none above it.
func highestOf(c Claim) bool { return setting.Asks(c.Setting) || setting.Sure(c.Setting) }

var elements = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`(?i)(pre-?\s?filters?|vorfilter|pr[ée]-?filtre|prefiltro|初效|预过滤)|((?:activated\s+)?(?:carbon|charcoal)(?:\s+\pL+)?\s+filters?|(?:aktiv)?kohlefilter|filtre\s+(?:à|au)\s+charbon|filtro\s+(?:de\s+carb[oó]n|ai\s+carboni)|活性炭滤|活性炭フィルター)`)
})

// element is which filter of several a claim is of: by its basis, else by its words; "" for the filter itself.
func (c *Claim) element() string {
	if c.Basis.Element != "" {
		return c.Basis.Element
	}
	m := elements().FindStringSubmatch(c.Wording)
	switch {
	case m == nil:
		return ""
	case m[1] != "":
		return "pre-filter"
	}
	return "carbon filter"
}

// conditionsAlike compares what two claims of one attribute state with their number: distance, share removed, room, air
// changes, hours, end of life, particle, filter. Where one states a condition that the other does not, the two are different
// statements. Two rates of which neither names its particle may be of different ones.
func conditionsAlike(a, b Claim) likeness {
	of := func(c Claim) Basis {
		x := c.Basis
		return Basis{Distance: x.Distance, Reduction: x.Reduction, RoomVolume: x.RoomVolume, RoomArea: x.RoomArea, AirChanges: x.AirChanges, Ceiling: x.Ceiling, HoursPerDay: x.HoursPerDay,
			StandbyHours: x.StandbyHours, EndOfLife: x.EndOfLife, Ioniser: x.Ioniser, Rule: x.Rule, Element: c.element(), SoundPower: x.SoundPower}
	}
	x, y := of(a), of(b)
	switch {
	case a.Particle != b.Particle || !reflect.DeepEqual(x, y):
		return different
	case a.Attribute == DeliveryRate && a.Particle == "":
		return unsure
	}
	return same
}

// ofProduct reports whether a claim is the maker's, of the product itself: no buyer's figure, no sibling's.
func (c *Claim) ofProduct() bool { return OfMaker(c.Source) && c.OtherModel == "" }

var modelEnd = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^(.*?\pL)[\s-]*(\d[\w-]*)$`) })

// otherModel is a model of the same family that a claim's words or source name in place of the product's own: "Zabble 60"
// beside the "Zabble 40"; "" where they name none. What the words compare with the product itself is no such model.
func otherModel(model string, c Claim) string {
	m := modelEnd().FindStringSubmatch(measure.Fold(model))
	if m == nil || len(m[1]) < 3 {
		return ""
	}
	re, err := regexp.Compile(regexp.QuoteMeta(m[1]) + `[\s-]*(\d[\w-]*)`)
	if err != nil {
		return ""
	}
	found := ""
	for _, x := range re.FindAllStringSubmatch(measure.Fold(c.Wording)+" \x00 "+measure.Fold(c.Source), -1) {
		if x[1] == m[2] || strings.HasPrefix(x[1], m[2]) || strings.HasPrefix(m[2], x[1]) {
			return ""
		}
		found = x[0]
	}
	return found
}
