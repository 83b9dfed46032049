package picture

import (
	"bytes"
	"image/color"
	"image/png"
	"strings"
	"testing"

	"ohmward/geom"
)

func charted(checks ...Check) *Scene {
	return &Scene{Title: "t", Outline: geom.Region{{Outer: geom.Ring{geom.FromMM(0, 0), geom.FromMM(20, 0), geom.FromMM(20, 10), geom.FromMM(0, 10)}}}, Checks: checks}
}

// TestChart: a reading that fits is a calm dot in the band, one that is far
// off stands at the edge in the heat's ink, and both values are written.
func TestChart(t *testing.T) {
	good := Check{Sign: "1", Measured: 0.0187, Predicted: 0.0186, U: 0.0003}
	bad := Check{Sign: "2", Measured: 0.0300, Predicted: 0.0186, U: 0.0003}
	var text bytes.Buffer
	if err := SVG(&text, charted(good, bad)); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"18.7 mΩ", "18.6 mΩ", "30.0 mΩ", "as predicted"} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("%q is not written", want)
		}
	}
	inks := func(s *Scene) (calm, hot int) {
		var b bytes.Buffer
		if err := PNG(&b, s); err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(&b)
		if err != nil {
			t.Fatal(err)
		}
		for y := img.Bounds().Min.Y; y < img.Bounds().Max.Y; y++ {
			for x := img.Bounds().Min.X; x < img.Bounds().Max.X; x++ {
				switch color.NRGBAModel.Convert(img.At(x, y)) {
				case color.Color(netInks[0]):
					calm++
				case color.Color(heat):
					hot++
				}
			}
		}
		return calm, hot
	}
	calm0, hot0 := inks(charted(good))
	calm1, hot1 := inks(charted(good, bad))
	if hot0 != 0 || hot1 < 50 || calm0 < 50 || calm1 < 50 {
		t.Errorf("good alone: %d calm, %d hot pixels; with the bad one %d and %d", calm0, hot0, calm1, hot1)
	}
	if a, b := newLayout(charted()).height, newLayout(charted(good)).height; b-a != int(chartMargin) {
		t.Errorf("the chart takes %d pixels, want %g", b-a, chartMargin)
	}
}
