package measure

import (
	"math"
	"testing"
)

// Background correction. K1 and its sensitivity computed with Python 3.11 (numpy 1.24.2) from the formula; the rounded
// column is the table credited to ISO 1996-1 and JIS Z 8731:1999 (second-hand), which prints to 0.05 or 0.1 dB.
func TestBackgroundTerm(t *testing.T) {
	for _, r := range []struct{ delta, k1, cL, rounded float64 }{
		{3, 3.0206, 2.0048, 3.0}, {4, 2.2048, 1.6614, 2.3}, {5, 1.6509, 1.4625, 1.7}, {6, 1.2563, 1.3354, 1.25},
		{7, 0.9665, 1.2493, 0.95}, {8, 0.7494, 1.1883, 0.75}, {9, 0.5844, 1.1440, 0.60}, {10, 0.4576, 1.1111, 0.45},
		{11, 0.3594, 1.0863, math.NaN()}, {12, 0.2830, 1.0673, math.NaN()}, {13, 0.2233, 1.0528, math.NaN()},
		{14, 0.1764, 1.0415, math.NaN()}, {15, 0.1396, 1.0327, math.NaN()}, {16, 0.1105, 1.0258, math.NaN()}, {20, 0.0436, 1.0101, math.NaN()},
	} {
		k1, cL := BackgroundTerm(r.delta)
		wantAbs(t, "K1", k1, r.k1, 5e-5)
		wantAbs(t, "c_L", cL, r.cL, 5e-5)
		if !math.IsNaN(r.rounded) {
			wantAbs(t, "K1, rounded table", k1, r.rounded, 0.1)
		}
	}
	if k1, cL := BackgroundTerm(0); !math.IsInf(k1, 1) || !math.IsInf(cL, 1) {
		t.Errorf("a level equal to background: %g, %g", k1, cL)
	}
}

// Subtraction of levels as handbooks work it (printed 90.7, 53.3, 69, 84; digits computed).
func TestSubtractionOfLevels(t *testing.T) {
	for _, r := range []struct{ level, background, want, printed float64 }{
		{93, 89, 90.795192, 90.7}, {55, 50, 53.349115, 53.3}, {70, 63, 69.033471, 69}, {91, 90, 84.131747, 84},
	} {
		k1, _ := BackgroundTerm(r.level - r.background)
		wantAbs(t, "level less background", r.level-k1, r.want, 1e-6)
		wantAbs(t, "level less background, printed", r.level-k1, r.printed, 0.15)
	}
}

// Sums and means computed with numpy; 92 for 85 + 87 + 89 is a handbook's print.
func TestLevelsAddAndAverage(t *testing.T) {
	wantAbs(t, "80 + 80", LevelSum(80, 80), 83.0103, 1e-4)
	wantAbs(t, "85 + 87 + 89", LevelSum(85, 87, 89), 92.0730, 1e-4)
	wantAbs(t, "60 + 65 + 70", LevelSum(60, 65, 70), 71.5113, 1e-4)
	wantAbs(t, "mean 60, 65, 70", EnergyMean([]float64{60, 65, 70}), 66.7401, 1e-4)
	wantAbs(t, "mean of four", EnergyMean([]float64{40.1, 40.4, 39.8, 41.0}), 40.3480, 1e-4)
	wantAbs(t, "mean 85, 87, 89", EnergyMean([]float64{85, 87, 89}), 87.3017, 1e-4)
	wantAbs(t, "mean 30, 36", EnergyMean([]float64{30, 36}), 33.9629, 1e-4)
	wantAbs(t, "42 dB 10 s, 36 dB 50 s", EnergyMeanOver([]float64{42, 36}, []float64{10, 50}), 37.751769, 1e-6)
	wantAbs(t, "5 dB apart, over the arithmetic mean", EnergyMean([]float64{40, 45})-42.5, 0.683011, 1e-6)
	if s := LevelSum(); !math.IsInf(s, -1) {
		t.Errorf("no levels: %g", s)
	}
}

// Addition by difference: exact values computed; the rounded ranges are Hong Kong EPD, Technical Memorandum for the
// Assessment of Noise, Table 4.
func TestAdditionByDifference(t *testing.T) {
	for _, r := range [][2]float64{{0, 3.010}, {0.5, 2.767}, {1, 2.539}, {1.5, 2.325}, {2, 2.124}, {3, 1.764}, {4, 1.455}, {5, 1.193},
		{6, 0.973}, {7, 0.790}, {8, 0.639}, {9, 0.515}, {10, 0.414}, {12, 0.266}, {15, 0.135}, {20, 0.043}} {
		wantAbs(t, "added to the higher level", LevelSum(60, 60-r[0])-60, r[1], 5e-4)
	}
	for _, r := range []struct{ from, to, add float64 }{{0, 0.5, 3.0}, {1, 1.5, 2.5}, {2, 3, 2.0}, {3.5, 4.5, 1.5}, {5, 7, 1.0}, {7.5, 12, 0.5}} {
		for _, d := range []float64{r.from, r.to} {
			wantAbs(t, "Hong Kong table", LevelSum(60, 60-d)-60, r.add, 0.26)
		}
	}
}

// A-weighting at the exact mid-frequencies 1000·10^(n/10): IEC 61672-1 as read in GOST 17187-2010, Table 2.
func TestAWeighting(t *testing.T) {
	table := []float64{-70.4, -63.4, -56.7, -50.5, -44.7, -39.4, -34.6, -30.2, -26.2, -22.5, -19.1, -16.1, -13.4, -10.9, -8.6, -6.6, -4.8,
		-3.2, -1.9, -0.8, 0, 0.6, 1.0, 1.2, 1.3, 1.2, 1.0, 0.5, -0.1, -1.1, -2.5, -4.3, -6.6, -9.3}
	for i, want := range table {
		f := 1000 * math.Pow(10, float64(i-20)/10)
		wantAbs(t, "A-weighting", AWeighting(f), want, 0.0501)
	}
	wantAbs(t, "160 Hz", AWeighting(1000*math.Pow(10, -0.8)), -13.3503, 5e-4)
	wantAbs(t, "125 Hz as printed on the band", AWeighting(125), -16.19, 0.01)
	// An octave spectrum by the rounded table: computed with numpy.
	bands := []float64{45, 42, 40, 38, 35, 30, 25, 20}
	weights := []float64{-26.2, -16.1, -8.6, -3.2, 0, 1.2, 1.0, -1.1}
	weighted := make([]float64, len(bands))
	for i := range bands {
		weighted[i] = bands[i] + weights[i]
	}
	wantAbs(t, "octaves, A-weighted", LevelSum(weighted...), 39.921780, 1e-5)
	wantAbs(t, "octaves, unweighted", LevelSum(bands...), 48.348007, 1e-5)
}

// Distance and room: formulas of acoustics textbooks, values computed with numpy.
func TestLevelsFromPower(t *testing.T) {
	for i, r := range []float64{1, 1.5, 2, 3} {
		wantAbs(t, "half-space", LevelFromPower(50, r), []float64{42.02, 38.50, 36.00, 32.48}[i], 5e-3)
	}
	wantAbs(t, "twice the distance", LevelFromPower(50, 1)-LevelFromPower(50, 2), 6.020600, 1e-6)
	wantAbs(t, "1 to 1.5 m", LevelFromPower(50, 1)-LevelFromPower(50, 1.5), 3.521825, 1e-6)
	wantAbs(t, "10 lg 2 pi", -LevelFromPower(0, 1), 7.981799, 1e-6)
	for _, r := range []struct {
		volume, time, critical float64
		level                  [3]float64
	}{
		{30, 0.5, 0.6200, [3]float64{-2.4167, -3.4307, -3.6476}}, {50, 0.5, 0.8004, [3]float64{-3.8976, -5.4025, -5.7490}},
		{50, 0.4, 0.8948, [3]float64{-4.4622, -6.2243, -6.6466}}, {75, 0.5, 0.9803, [3]float64{-4.8840, -6.8736, -7.3680}},
	} {
		for i := range r.level {
			l, c := RoomLevel(0, float64(i+1), 2, r.volume, r.time)
			wantAbs(t, "room level", l, r.level[i], 1e-4)
			wantAbs(t, "critical distance", c, r.critical, 1e-4)
		}
	}
}

// K of a declared value: the rule is from memory of ISO 7574 and ISO 4871, the values computed; the last two rows take
// σ_t and σ_M of fan heaters from GOST IEC 60704-2-2-2012.
func TestDeclarationAllowance(t *testing.T) {
	for _, r := range []struct{ sr, sp, sm, want, tol float64 }{
		{1.5, 1, 2, 3.077, 5e-4}, {1.5, 1.5, 2.5, 3.703, 5e-4}, {0.8, 0.8, 1.5, 2.069, 5e-4}, {1.5, 1.5, 2.12, 3.489, 5e-4},
		{1.0, 0, 1.5, 1.927, 5e-5}, {1.6, 0, 1.5, 2.5756, 5e-5},
	} {
		wantAbs(t, "K", DeclarationAllowance(r.sr, r.sp, r.sm), r.want, r.tol)
	}
}
