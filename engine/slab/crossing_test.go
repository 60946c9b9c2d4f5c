package slab

import (
	"math"
	"testing"
)

// springBeam solves a strip as a beam of stiffness elements on springs: another
// way than waves and end-conditioning. It returns deflections and moments at its
// nodes and the shear in its elements. A real strip has weight (N/mm), nodes that
// are lifted off the ground, and an element that hangs in a hinge at its near end
// (joint), −1 for none.
func springBeam(s Strip, length, step float64, loads []StripLoad, weight float64, lifted []bool,
	joint int) (y, m, v []float64) {
	n := int(math.Round(length / step))
	step = length / float64(n)
	ei := s.Modulus * s.Width * s.Thickness * s.Thickness * s.Thickness / 12
	size := 2 * (n + 1)
	band := make([][4]float64, size) // upper half of the matrix
	put := func(i, j int, val float64) { band[min(i, j)][max(i, j)-min(i, j)] += val }
	f := ei / (step * step * step)
	element := [4][4]float64{{12, 6 * step, -12, 6 * step}, {6 * step, 4 * step * step, -6 * step, 2 * step * step},
		{-12, -6 * step, 12, -6 * step}, {6 * step, 2 * step * step, -6 * step, 4 * step * step}}
	for e := range n {
		k := element
		if e == joint { // its near end turns freely
			k = [4][4]float64{{3, 0, -3, 3 * step}, {}, {-3, 0, 3, -3 * step}, {3 * step, 0, -3 * step, 3 * step * step}}
		}
		for i := range 4 {
			for j := i; j < 4; j++ {
				put(2*e+i, 2*e+j, f*k[i][j])
			}
		}
	}
	u, force := make([]float64, size), make([]float64, n+1)
	spring := make([]float64, n+1)
	for i := range n + 1 {
		share := step
		if i == 0 || i == n {
			share /= 2
		}
		force[i] = weight * share
		u[2*i] = force[i]
		if len(lifted) == 0 || !lifted[i] {
			spring[i] = s.Subgrade * s.Width * share
		}
		put(2*i, 2*i, spring[i])
	}
	for _, p := range loads {
		i := int(math.Round(p.At / step))
		force[i] += p.Force
		u[2*i] += p.Force
	}
	for i := range size { // elimination in the band
		for k := 1; k < 4 && i+k < size; k++ {
			part := band[i][k] / band[i][0]
			for j := k; j < 4 && i+j < size; j++ {
				band[i+k][j-k] -= part * band[i][j]
			}
			u[i+k] -= part * u[i]
		}
	}
	for i := size - 1; i >= 0; i-- {
		for k := 1; k < 4 && i+k < size; k++ {
			u[i] -= band[i][k] * u[i+k]
		}
		u[i] /= band[i][0]
	}
	y, m, v = make([]float64, n+1), make([]float64, n+1), make([]float64, n)
	shear := 0.0
	for i := range n + 1 {
		y[i] = u[2*i]
		if i > 0 {
			v[i-1] = shear
			m[i] = m[i-1] + shear*step
		}
		shear += spring[i]*y[i] - force[i]
	}
	return y, m, v
}

// springWorst tries wheels at every step of a strip on springs.
func springWorst(s Strip, w WheelPath, step float64) (worst Crossing) {
	for c := w.FromEnd; c <= w.Length-w.FromEnd+1e-6; c += step {
		for _, loads := range [][]StripLoad{{{c, w.Wheel}}, {{c, w.Wheel}, {c + w.AxleTrack, w.Wheel}}} {
			if loads[len(loads)-1].At > w.Length-w.FromEnd+1e-6 {
				continue
			}
			y, m, v := springBeam(s, w.Length, step/5, loads, 0, nil, -1)
			for i := range y {
				worst.Sagging.Value = math.Max(worst.Sagging.Value, m[i])
				worst.Hogging.Value = math.Max(worst.Hogging.Value, -m[i])
				worst.Pressure.Value = math.Max(worst.Pressure.Value, s.Subgrade*y[i])
			}
			for _, p := range loads {
				for _, x := range [2]float64{p.At - w.ShearAway, p.At + w.ShearAway} {
					if x > 0 && x < w.Length {
						worst.Shear.Value = math.Max(worst.Shear.Value, math.Abs(v[int(x/w.Length*float64(len(v)))]))
					}
				}
			}
		}
	}
	return worst
}

// The strip of the demo sites, 300 × 150 under wheels of 10 kN on clay, both ends
// of the subgrade; a short one, a wide one; by a beam on springs.
func TestCrossed_springs(t *testing.T) {
	const pci = 4.4482216152605 / (25.4 * 25.4 * 25.4)
	modulus := 4700 * math.Sqrt(20)
	path := WheelPath{Length: 3600, Wheel: 10000, AxleTrack: 1600, FromEnd: 300, ShearAway: 205}
	for name, k := range map[string]struct {
		strip Strip
		path  WheelPath
	}{
		"low":    {Strip{300, 150, modulus, 75 * pci}, path},
		"high":   {Strip{300, 150, modulus, 120 * pci}, path},
		"long":   {Strip{300, 150, modulus, 75 * pci}, WheelPath{8000, 10000, 1600, 300, 205, 0}},
		"short":  {Strip{300, 150, modulus, 75 * pci}, WheelPath{1000, 10000, 1600, 300, 205, 0}},
		"at end": {Strip{400, 200, modulus, 20 * pci}, WheelPath{4000, 60000, 1800, 0, 350, 0}},
	} {
		got, err := k.strip.Crossed(k.path)
		if err != nil {
			t.Fatal(err)
		}
		want := springWorst(k.strip, k.path, 50)
		t.Logf("%s: %+v", name, got)
		for what, pair := range map[string][2]float64{
			"sagging": {got.Sagging.Value, want.Sagging.Value}, "hogging": {got.Hogging.Value, want.Hogging.Value},
			"pressure": {got.Pressure.Value, want.Pressure.Value}, "shear": {got.Shear.Value, want.Shear.Value},
		} {
			if math.Abs(pair[0]-pair[1]) > 0.01*pair[1]+1 {
				t.Errorf("%s, %s: %v, by springs %v", name, what, pair[0], pair[1])
			}
		}
	}
}

func BenchmarkCrossed(b *testing.B) {
	s, w := Strip{300, 150, 21019, 0.02}, WheelPath{3600, 10000, 1600, 300, 205, 0}
	for b.Loop() {
		if _, err := s.Crossed(w); err != nil {
			b.Fatal(err)
		}
	}
}

// Ground that does not pull the strip down where it lifts: the strip's own weight
// holds it under a wheel of 10 kN, and under one of 60 kN it sags by no more than
// three hundredths more. With a joint in the middle, a hinge, it hogs more.
func TestCrossedWithoutPullAndWithAJoint_springs(t *testing.T) {
	const pci, length, near, step = 4.4482216152605 / (25.4 * 25.4 * 25.4), 3630.0, 300.0, 10.0
	for _, wheel := range []float64{10000, 60000} {
		for _, k := range []float64{75, 120} {
			s := Strip{300, 150, 4700 * math.Sqrt(20), k * pci}
			got, err := s.Crossed(WheelPath{length, wheel, 1600, near, 200, 0})
			if err != nil {
				t.Fatal(err)
			}
			hinged, err := s.Crossed(WheelPath{length, wheel, 1600, near, 200, 1})
			if err != nil {
				t.Fatal(err)
			}
			var loose, jointed [2]float64
			hinge := 0.0
			for c := near; c <= length-near; c += 30 {
				for _, loads := range [][]StripLoad{{{c, wheel}}, {{c, wheel}, {c + 1600, wheel}}} {
					if loads[len(loads)-1].At > length-near {
						continue
					}
					lifted := make([]bool, int(length/step)+1)
					for changed := true; changed; {
						y, m, _ := springBeam(s, length, step, loads, 24e-6*300*150, lifted, -1)
						changed = false
						for i := range y {
							if up := y[i] < 0; up && !lifted[i] {
								lifted[i], changed = true, true
							}
							if !changed && i == len(y)-1 {
								for _, v := range m {
									loose[0], loose[1] = math.Max(loose[0], v), math.Max(loose[1], -v)
								}
							}
						}
					}
					_, m, v := springBeam(s, length, step, loads, 0, nil, int(length/step)/2)
					hinge = math.Max(hinge, math.Abs(v[int(length/step)/2]))
					for _, v := range m {
						jointed[0], jointed[1] = math.Max(jointed[0], v), math.Max(jointed[1], -v)
					}
				}
			}
			t.Logf("%v on %v: %v and %v, loose %v, jointed %v, hinge %v; %+v",
				wheel, k, got.Sagging.Value, got.Hogging.Value, loose, jointed, hinge, hinged.Shear)
			if loose[0] > got.Sagging.Value*(1+wheel/2.4e6) || loose[1] > 1.01*got.Hogging.Value ||
				math.Abs(jointed[0]-hinged.Sagging.Value) > 0.02*jointed[0] ||
				math.Abs(jointed[1]-hinged.Hogging.Value) > 0.02*jointed[1] || hinged.Shear.Value < 0.95*hinge {
				t.Errorf("%v on %v: %+v", wheel, k, hinged)
			}
		}
	}
}

// What nobody can have is refused, and what is odd but can be is no nonsense.
func TestCrossedRefuses(t *testing.T) {
	s, w := Strip{300, 150, 21019, 0.02}, WheelPath{3600, 10000, 1600, 300, 205, 0}
	for _, v := range []float64{math.NaN(), math.Inf(1), -1, 1e9} {
		for i, p := range []WheelPath{{v, 1e4, 1600, 300, 205, 0}, {3600, v, 1600, 300, 205, 0}, {3600, 1e4, v, 300, 205, 0},
			{3600, 1e4, 1600, v, 205, 0}, {3600, 1e4, 1600, 300, v, 0}} {
			if _, err := s.Crossed(p); err == nil {
				t.Errorf("%d takes %v", i, v)
			}
		}
	}
	w.FromEnd = 5000 // farther than the strip is long: it stands in the middle
	got, err := s.Crossed(w)
	if err != nil || got.Sagging.Wheel != 1800 || got.Sagging.Both {
		t.Errorf("%+v %v", got, err)
	}
}

func FuzzCrossed(f *testing.F) {
	f.Add(300.0, 150.0, 0.02, 3600.0, 1600.0, 300.0, 1)
	f.Fuzz(func(t *testing.T, b, h, k, length, track, near float64, joints int) {
		got, err := Strip{b, h, 21019, k}.Crossed(WheelPath{length, 1e4, track, near, 200, joints})
		if sum := got.Sagging.Value + got.Hogging.Value + got.Pressure.Value + got.Shear.Value; err == nil &&
			(math.IsNaN(sum) || math.IsInf(sum, 0) || got.Sagging.Value > 1e9) {
			t.Fatalf("%+v", got)
		}
	})
}
