package e2e

import (
	"bufio"
	"bytes"
	"image"
	"image/jpeg"
	"math"
	"os"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/sync/errgroup"
)

// A film is what a hand-held camera sees of a screen, as Chromium takes it in place of a
// camera: JPEGs one after another, which it plays at filmRate and begins anew at the end.
const (
	filmSide     = 720 // pixels
	filmRate     = 30  // pictures a second
	filmFill     = 0.9 // of the side is the picture
	filmExposure = time.Second / 60
	filmNoise    = 6 // levels of 255
)

// shot is what a screen shows for a while: squares, dark where true; nil is a hand before
// the camera.
type shot struct {
	side    int
	squares []bool
}

// screening is shots shown one after another, each for so long.
type screening struct {
	shots []*shot
	every time.Duration
}

func (s screening) at(t time.Duration) *shot {
	return s.shots[min(int(t/s.every), len(s.shots)-1)]
}

// film writes a film of a screening.
func (s screening) film(t testing.TB, path string) {
	t.Helper()
	file, err := os.Create(path)
	require.NoError(t, err)
	defer file.Close()
	out := bufio.NewWriter(file)
	frames := int(time.Duration(len(s.shots)) * s.every * filmRate / time.Second)
	batch := runtime.GOMAXPROCS(0)
	for first := 0; first < frames; first += batch {
		made := make([][]byte, min(batch, frames-first))
		var all errgroup.Group
		for i := range made {
			all.Go(func() error {
				made[i] = s.frame(first + i)
				return nil
			})
		}
		require.NoError(t, all.Wait())
		for _, b := range made {
			_, err := out.Write(b)
			require.NoError(t, err)
		}
	}
	require.NoError(t, out.Flush())
}

// frame is one picture of the film: the screen turned, leaning and moving a little, row
// after row taken later, so that one picture of the screen can be torn into the next, with
// the camera's noise, as JPEG.
func (s screening) frame(n int) []byte {
	begin := time.Duration(n) * time.Second / filmRate
	noise := uint32(n)*2654435761 | 1
	phase := float64(n) / filmRate
	turn, lean := 0.03*math.Sin(phase*1.1), 0.04*math.Sin(phase*0.7)/filmSide
	right, down := 4*math.Sin(phase*1.7), 3*math.Cos(phase*1.3) // pixels
	picture := image.NewGray(image.Rect(0, 0, filmSide, filmSide))
	for y := range filmSide {
		line := picture.Pix[y*filmSide : (y+1)*filmSide]
		seen := s.at(begin + filmExposure*time.Duration(y)/filmSide)
		each, side := 1.0, 0.0
		if seen != nil {
			side = float64(seen.side)
			each = side / (filmSide * filmFill) // squares a pixel
		}
		for x := range line {
			noise = noise*1664525 + 1013904223 // the least that looks like noise
			light := 60 + noise>>24*filmNoise>>8
			if seen != nil {
				u, v := float64(x)-filmSide/2.0+right, float64(y)-filmSide/2.0+down
				k := each / (1 + lean*u)
				at, on := (u-turn*v)*k+side/2, (v+turn*u)*k+side/2
				part := each / 4
				light += 40 * (seen.light(at-part, on-part) + seen.light(at+part, on-part) +
					seen.light(at-part, on+part) + seen.light(at+part, on+part))
			}
			line[x] = byte(light)
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, picture, &jpeg.Options{Quality: 80}); err != nil {
		panic(err) // into memory: cannot fail
	}
	return b.Bytes()
}

// light is how much of the screen's light is at a place, 0 or 1; beside it there is none.
func (s *shot) light(x, y float64) uint32 {
	if x < 0 || y < 0 || x >= float64(s.side) || y >= float64(s.side) || s.squares[int(y)*s.side+int(x)] {
		return 0
	}
	return 1
}
