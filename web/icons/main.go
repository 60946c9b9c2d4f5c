// Command icons draws the PNG icons from web/assets/icon.svg with an installed
// Chromium. The PNG files are kept in version control; run this, from the root
// of the module, only when the drawing has changed.
package main

import (
	"bytes"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
)

// icons are the sizes wanted. A maskable icon may be cut to a circle of four
// fifths of its width; the drawing keeps its own margin, and is set smaller.
var icons = []struct {
	name  string
	side  int
	scale float64
}{
	{"icon-180.png", 180, 1},
	{"icon-192.png", 192, 1},
	{"icon-512.png", 512, 1},
	{"icon-maskable-512.png", 512, 0.78},
}

func main() {
	if err := drawAll(); err != nil {
		fmt.Fprintln(os.Stderr, "icons:", err)
		os.Exit(1)
	}
}

func drawAll() error {
	svg, err := os.ReadFile("web/assets/icon.svg")
	if err != nil {
		return err
	}
	folder, err := os.MkdirTemp("", "icons")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	for _, icon := range icons {
		page := fmt.Sprintf("<!DOCTYPE html><style>*{margin:0}body{background:#fffdf6}"+
			"svg{display:block;position:absolute;left:%[2]gpx;top:%[2]gpx;width:%[1]gpx}</style>%[3]s",
			float64(icon.side)*icon.scale, float64(icon.side)*(1-icon.scale)/2, svg)
		source, shot := filepath.Join(folder, "icon.html"), filepath.Join(folder, "icon.png")
		if err := os.WriteFile(source, []byte(page), 0o644); err != nil {
			return err
		}
		// A window as wide and 200 higher, since its frame may take some height.
		command := exec.Command("chromium", "--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
			"--user-data-dir="+filepath.Join(folder, "profile"), "--force-device-scale-factor=1",
			fmt.Sprintf("--window-size=%d,%d", max(icon.side, 500), icon.side+200), "--screenshot="+shot, "file://"+source)
		if text, err := command.CombinedOutput(); err != nil {
			return fmt.Errorf("%w: %s", err, text)
		}
		if err := crop(shot, filepath.Join("web/assets", icon.name), icon.side); err != nil {
			return err
		}
	}
	return nil
}

func crop(from, to string, side int) error {
	content, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	whole, err := png.Decode(bytes.NewReader(content))
	if err != nil {
		return err
	}
	square := image.NewRGBA(image.Rect(0, 0, side, side))
	draw.Draw(square, square.Bounds(), whole, image.Point{}, draw.Src)
	var out bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestCompression}
	if err := encoder.Encode(&out, square); err != nil {
		return err
	}
	return os.WriteFile(to, out.Bytes(), 0o644)
}
