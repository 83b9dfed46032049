package web

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"ohmward/internal/answer"
)

// kept asks for a picture and reads it; it must be offered as a file.
func kept(t *testing.T, s *Server, path, name string) image.Image {
	t.Helper()
	w := s.do(s.request("GET", path, nil))
	if w.Code != http.StatusOK || w.Header().Get("Content-Type") != "image/png" {
		t.Fatalf("%s: %d %s %.200s", path, w.Code, w.Header().Get("Content-Type"), w.Body)
	}
	if got := w.Header().Get("Content-Disposition"); got != `attachment; filename="`+name+`.png"` {
		t.Errorf("%s: %s", path, got)
	}
	img, err := png.Decode(bytes.NewReader(w.Body.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// colours counts the colours of a picture's pixels.
func colours(img image.Image) int {
	seen := map[color.Color]bool{}
	for y := range img.Bounds().Dy() {
		for x := range img.Bounds().Dx() {
			seen[img.At(x, y)] = true
		}
	}
	return len(seen)
}

// TestPictures: what the page shows of a place, and of a current, can be kept
// as a file, as the commands' --picture does.
func TestPictures(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pictures: some seconds")
	}
	s := newTest(t, "")
	bare := call[begun](t, s, "POST", "/api/cases", map[string]bool{"demo": true}).ID
	ready(t, s, bare)
	if w := s.do(s.request("GET", "/api/cases/"+bare+"/picture",
		nil)); w.Code != http.StatusServiceUnavailable ||
		!strings.Contains(w.Body.String(), "choose the two nets") {
		t.Errorf("without nets: %d %s", w.Code, w.Body)
	}
	id := call[begun](t, s, "POST", "/api/practice", map[string]int{"unit": 3}).ID
	v := ready(t, s, id)
	where := kept(t, s, "/api/cases/"+id+"/picture", "short-"+id)
	if b := where.Bounds(); b.Dx() != 1600 || b.Dy() < 400 || colours(where) < 20 {
		t.Errorf("the place: %v, %d colours", b, colours(where))
	}
	if !slices.Equal(v.Nets, []string{"+3V3", "NRST"}) {
		t.Fatalf("practice unit 3 is about %v", v.Nets)
	}
	ends := url.Values{"from": {"R5.1"}, "to": {"R5.2"}}.Encode()
	if told := call[answer.Reply](t, s, "GET", "/api/cases/"+id+"/between?"+ends,
		nil); !strings.Contains(strings.Join(told.Words, " "), "likeliest place") {
		t.Errorf("across the nets: %v", told.Words)
	}
	flow := kept(t, s, "/api/cases/"+id+"/between/picture?"+ends, "current-"+id)
	if b := flow.Bounds(); b.Dx() != 1600 || b.Dy() < 400 || colours(flow) < 20 {
		t.Errorf("the current: %v, %d colours", b, colours(flow))
	}
	if w := s.do(s.request("GET", "/api/cases/"+id+"/between/picture?from=C9.1&to=C9.2",
		nil)); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("to a net that the case is not about: %d %s", w.Code, w.Body)
	}
}
