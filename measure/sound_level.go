package measure

import "math"

// LevelSum adds incoherent sounds: L = 10·lg Σ 10^(0.1·L_i). No levels give -Inf, the level of silence.
func LevelSum(levels ...float64) float64 {
	if len(levels) == 0 {
		return math.Inf(-1)
	}
	return EnergyMean(levels) + 10*math.Log10(float64(len(levels)))
}

// EnergyMean is the level of the mean sound energy: L = 10·lg[(1/n)·Σ 10^(0.1·L_i)]; NaN for no levels.
func EnergyMean(levels []float64) float64 { return energyMean(levels, nil) }

// EnergyMeanOver is the equivalent continuous level L_eq of levels that each lasted a time:
// L = 10·lg[Σ t_i·10^(0.1·L_i) / Σ t_i]; NaN for no levels or a total time of zero.
func EnergyMeanOver(levels, durations []float64) float64 { return energyMean(levels, durations) }

func energyMean(levels, weights []float64) float64 {
	if len(levels) == 0 {
		return math.NaN()
	}
	top := math.Inf(-1)
	for _, l := range levels {
		top = math.Max(top, l)
	}
	var s, w float64 // taken from the loudest, so that nothing overflows
	for i, l := range levels {
		wi := 1.0
		if weights != nil {
			wi = weights[i]
		}
		s += wi * math.Pow(10, 0.1*(l-top))
		w += wi
	}
	return top + 10*math.Log10(s/w)
}

// BackgroundTerm is K1 = −10·lg(1 − 10^(−0.1·ΔL)), what background adds to a level that stands ΔL above it, in dB, with
// c_L = 1/(1 − 10^(−0.1·ΔL)), the sensitivity of the corrected level to the measured one; that to the background is
// c_L − 1. +Inf for ΔL ≤ 0, where nothing can be told from background.
func BackgroundTerm(delta float64) (k1, cL float64) {
	if delta <= 0 {
		return math.Inf(1), math.Inf(1)
	}
	rest := -math.Expm1(-0.1 * math.Ln10 * delta)
	return -10 * math.Log10(rest), 1 / rest
}

// AWeighting is the A-weighting at a frequency in Hz, in dB relative to 1 kHz: A = 20·lg R_A(f) + 2.00 with
// R_A = f4²·f⁴/[(f²+f1²)·(f²+f4²)·√((f²+f2²)·(f²+f3²))], f1 20.598997, f2 107.65265, f3 737.86223, f4 12194.217 Hz.
// IEC 61672-1. The constant is taken so that A(1 kHz) is 0. -Inf at 0 Hz.
func AWeighting(f float64) float64 {
	ra := func(f float64) float64 {
		const f1, f2, f3, f4 = 20.598997, 107.65265, 737.86223, 12194.217
		q := f * f
		return f4 * f4 * q * q / ((q + f1*f1) * (q + f4*f4) * math.Sqrt((q+f2*f2)*(q+f3*f3)))
	}
	return 20 * math.Log10(ra(f)/ra(1000))
}

// LevelFromPower is the sound pressure level at r metres from a source of sound power level lw in open space over one
// reflecting plane: L_p = L_W − 20·lg(r/1 m) − 10·lg 2π. It holds in no ordinary room.
func LevelFromPower(lw, r float64) float64 { return lw - 20*math.Log10(r) - 10*math.Log10(2*math.Pi) }

// RoomLevel is the sound pressure level in a diffuse room, L_p = L_W + 10·lg(Q/(4πr²) + 4/A) with A = 0.161·V/T: volume
// V in m³, reverberation time T in s, directivity Q (2 on a floor). The second result is the critical distance
// r_c = √(Q·A/(16π)) in m, beyond which the level hardly falls. Textbook formula.
func RoomLevel(lw, r, q, volume, reverberation float64) (level, critical float64) {
	a := 0.161 * volume / reverberation
	return lw + 10*math.Log10(q/(4*math.Pi*r*r)+4/a), math.Sqrt(q * a / (16 * math.Pi))
}

// DeclarationAllowance is K of a declared noise value, L_d = L + K, from the standard deviations of reproducibility,
// production and the reference: K = 1.645·σ_t + 0.564·(σ_M − σ_t), σ_t² = σ_R² + σ_P². ISO 4871 and ISO 7574 (from memory).
func DeclarationAllowance(reproducibility, production, reference float64) float64 {
	t := math.Hypot(reproducibility, production)
	return 1.645*t + 0.564*(reference-t)
}
