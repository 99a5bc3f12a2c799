package measure

import (
	"fmt"
	"math"

	"weighhouse/measure/numeral"
	"weighhouse/measure/uncertainty"
)

// SoundRoom is the room in which levels were read: its volume in m3 and its reverberation time in s, each with its standard
// uncertainty; what is not known is 0, an uncertainty that is not known NaN.
type SoundRoom struct {
	Volume, VolumeU float64
	Time, TimeU     float64
}

// RoomAddition is K2 = 10·lg(1 + 4S/A), what a room adds to the level that a source on its floor makes at r metres, in dB:
// S = 2πr² is the half sphere through the microphone, A = 0.161·V/T the absorption in m2 (Sabine) of a room of V m3 and a
// reverberation time of T s. ISO 3744 and ISO 3746, annex A (from memory). The second result is dK2/d ln A, in dB.
func RoomAddition(r, volume, reverberation float64) (k2, slope float64) {
	q := 4 * 2 * math.Pi * r * r * reverberation / (0.161 * volume)
	return 10 * math.Log10(1+q), 10 / math.Ln10 * q / (1 + q)
}

// addition is what becomes of a room's part in a level.
type addition struct {
	k2    float64 // taken off, dB
	u     float64 // its standard uncertainty
	most  float64 // not taken off: what the room may add at most; 0 where k2 was taken off
	large bool    // K2 is too large to be taken off: the level is an upper bound
	words string
}

// addition tells what a room adds at a distance: K2 where the reverberation time was measured, else a bound.
func (room SoundRoom) addition(r float64) addition {
	switch {
	case r <= 0:
		return addition{words: "What the room adds was not taken off: the distance is not recorded"}
	case room.Time <= 0 || room.Volume <= 0:
		v, t := room.Volume, room.Time
		which := "The reverberation time was not measured"
		if v <= 0 {
			v, which = ThresholdOf("room volume"), "The volume of the room is not stated"
		}
		if t <= 0 {
			t = ThresholdOf("room time")
		}
		most, _ := RoomAddition(r, v, t)
		return addition{most: most, words: fmt.Sprintf("%s: the level holds what the room adds, which at %g s in %s m3 would be %s dB", which, t, numeral.Short(v, 3), numeral.Fixed(most, 1))}
	}
	k2, slope := RoomAddition(r, room.Volume, room.Time)
	ut := room.TimeU
	if !(ut > 0) {
		ut = room.Time * ThresholdOf("time doubt") / 100
	}
	uv := room.VolumeU
	if !(uv > 0) {
		uv = 0
	}
	formula := ThresholdOf("room doubt")
	if k2 > ThresholdOf("room small") {
		formula = math.Max(formula, ThresholdOf("room doubt large"))
	}
	x := addition{k2: k2, u: math.Hypot(slope*math.Hypot(ut/room.Time, uv/room.Volume), formula)}
	how := fmt.Sprintf("K2 = 10·lg(1 + 4S/A) = %s dB for what the room adds, at a reverberation time of %s s in %s m3", numeral.Fixed(k2, 1), numeral.Short(room.Time, 3), numeral.Short(room.Volume, 3))
	if k2 > ThresholdOf("room large") {
		return addition{most: k2, large: true, words: how + ", is too much to be taken off"}
	}
	x.words = how + ", was taken off"
	return x
}

// component is the uncertainty of what was taken off.
func (x addition) component() uncertainty.Component {
	return uncertainty.Component{Name: "room correction K2", U: x.u, DOF: math.Inf(1), Kind: "B", Note: x.words}
}
