package e2e

import (
	"bufio"
	"bytes"
	"image"
	"image/jpeg"
	"math"
	"math/rand/v2"
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
	noise := rand.New(rand.NewPCG(uint64(n), 7))
	phase := float64(n) / filmRate
	turn := 0.03 * math.Sin(phase*1.1)
	lean := 0.04 * math.Sin(phase*0.7)
	picture := image.NewGray(image.Rect(0, 0, filmSide, filmSide))
	middle := filmSide / 2.0
	for y := range filmSide {
		seen := s.at(begin + filmExposure*time.Duration(y)/filmSide)
		if seen == nil {
			for x := range filmSide {
				picture.Pix[y*filmSide+x] = byte(70 + noise.IntN(filmNoise))
			}
			continue
		}
		side := float64(seen.side)
		each := side / (filmSide * filmFill) // squares a pixel
		for x := range filmSide {
			light := 0.0
			for _, part := range [4][2]float64{{0.25, 0.25}, {0.75, 0.25}, {0.25, 0.75}, {0.75, 0.75}} {
				u, v := float64(x)+part[0]-middle+4*math.Sin(phase*1.7), float64(y)+part[1]-middle+3*math.Cos(phase*1.3)
				far := 1 + lean*u/filmSide
				light += seen.light((u-turn*v)*each/far+side/2, (v+turn*u)*each/far+side/2)
			}
			picture.Pix[y*filmSide+x] = byte(30 + light*45 + float64(noise.IntN(filmNoise)))
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, picture, &jpeg.Options{Quality: 80}); err != nil {
		panic(err) // into memory: cannot fail
	}
	return b.Bytes()
}

func (s *shot) light(x, y float64) float64 {
	col, row := int(math.Floor(x)), int(math.Floor(y))
	if col < 0 || row < 0 || col >= s.side || row >= s.side {
		return 0.3 // what is around the screen
	}
	if s.squares[row*s.side+col] {
		return 0
	}
	return 1
}
