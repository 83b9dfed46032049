package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ohmward/internal/answer"
)

// newTest gives a server on a shelf of its own. Requests go to its handler.
func newTest(t *testing.T, listen string) *Server {
	t.Helper()
	shelf := openShelf(t, t.TempDir())
	s, err := New(shelf, Options{Listen: listen})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		for _, l := range s.listen {
			l.Close()
		}
		shelf.Close()
	})
	return s
}

func (s *Server) host() string { return s.listen[0].Addr().String() }

// request makes one that comes from a page of this server on this machine.
func (s *Server) request(method, path string, body io.Reader) *http.Request {
	r := httptest.NewRequest(method, "http://"+s.host()+path, body)
	r.RemoteAddr = "127.0.0.1:40000"
	if method != "GET" {
		r.Header.Set("Origin", "http://"+s.host())
		r.Header.Set("Sec-Fetch-Site", "same-origin")
	}
	return r
}

func (s *Server) do(r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	s.mux.ServeHTTP(w, r)
	return w
}

// call asks and decodes the answer; a status other than 200 fails the test.
func call[A any](t *testing.T, s *Server, method, path string, body any) A {
	t.Helper()
	var a A
	w := s.do(s.request(method, path, encoded(t, body)))
	if w.Code != http.StatusOK {
		t.Fatalf("%s %s: %d %s", method, path, w.Code, w.Body)
	}
	if err := json.Unmarshal(w.Body.Bytes(), &a); err != nil {
		t.Fatal(err)
	}
	return a
}

func encoded(t *testing.T, body any) io.Reader {
	t.Helper()
	if body == nil {
		return nil
	}
	data, err := json.Marshal(body)
	if err != nil {
		t.Fatal(err)
	}
	return bytes.NewReader(data)
}

// TestTypedRun: a case on the demo's board by HTTP alone: nets, metal,
// cautions, values as people type them, and the drawing, search and pairs.
func TestTypedRun(t *testing.T) {
	s := newTest(t, "")
	id := call[begun](t, s, "POST", "/api/cases", map[string]bool{"demo": true}).ID
	v := ready(t, s, id)
	at := "/api/cases/" + id
	act := func(a answer.Act) answer.View {
		a.Revision = v.Revision
		call[map[string]int](t, s, "POST", at+"/act", a)
		v = ready(t, s, id)
		return v
	}
	if f := call[[]answer.Found](t, s, "GET", at+"/find?q=3v3", nil); len(f) == 0 || f[0].Net != "+3V3" {
		t.Errorf("3v3 finds %+v", f)
	}
	if p := call[[]answer.PronePair](t, s, "GET", at+"/pairs", nil); len(p) < 5 || p[0].Touch[0] == "" {
		t.Errorf("%d pairs, the first %+v", len(p), p[0])
	}
	if w := s.do(s.request("GET", at+"/drawing", nil)); w.Code != 200 ||
		!strings.HasPrefix(w.Body.String(), "OHMWART1") {
		t.Errorf("drawing: %d, %d bytes", w.Code, w.Body.Len())
	}
	other := "GND"
	if testing.Short() {
		other = "NRST" // no plane to solve
	}
	act(answer.Act{Do: "pick", Text: "+3V3"})
	act(answer.Act{Do: "pick", Text: other})
	act(answer.Act{Do: "nets"})
	if asked := v.Step == "polarity"; asked != (other == "NRST") {
		t.Errorf("of %s and +3V3 it asks which is the more negative: %v", other, asked)
	} else if asked {
		act(v.Card.Doing[0].Act)
	}
	for v.Step == "metal" {
		act(answer.Act{Do: "metal", Text: "yes"})
	}
	act(answer.Act{Do: "cautions"})
	for _, value := range []string{"18.9m", "18m7", "0.0188"} {
		act(answer.Act{Do: "value", Text: value})
	}
	if v.Step != "null" || !strings.Contains(strings.Join(v.Card.Text, " "), "metal") {
		t.Fatalf("at %s: %v", v.Step, v.Card)
	}
	act(answer.Act{Do: "nulled"})
	act(answer.Act{Do: "value", Text: "18.7m"})
	if len(v.Readings) != 1 || v.Readings[0].Value != "18.7 mΩ" || v.Where == nil || len(v.Where.Density) == 0 {
		t.Errorf("%d readings: %+v", len(v.Readings), v.Readings)
	}
}

// TestRebinding: asked for under a name that is not this machine's, as by a
// site that points its name at 127.0.0.1, nothing is answered.
func TestRebinding(t *testing.T) {
	s := newTest(t, "")
	for _, host := range []string{"evil.example", "evil.example:" + portOf(s.listen[0].Addr()),
		"127.0.0.1:1", "", "127.0.0.1.evil.example:80"} {
		for _, path := range []string{"/", "/api/start", "/page/app.js"} {
			r := s.request("GET", path, nil)
			r.Host = host
			if w := s.do(r); w.Code != http.StatusForbidden {
				t.Errorf("host %q, %s: %d", host, path, w.Code)
			}
		}
	}
	if w := s.do(s.request("GET", "/", nil)); w.Code != http.StatusOK {
		t.Errorf("its own name: %d", w.Code)
	}
}

// TestCrossSite: what another site's page sends or asks for is refused, and
// starts nothing.
func TestCrossSite(t *testing.T) {
	s := newTest(t, "")
	for name, change := range map[string]func(*http.Request){
		"origin": func(r *http.Request) {
			r.Header.Set("Origin",
				"https://evil.example")
			r.Header.Del("Sec-Fetch-Site")
		},
		"other port": func(r *http.Request) {
			r.Header.Set("Origin",
				"http://127.0.0.1:9")
			r.Header.Del("Sec-Fetch-Site")
		},
		"null origin": func(r *http.Request) { r.Header.Set("Origin", "null"); r.Header.Del("Sec-Fetch-Site") },
		"site": func(r *http.Request) {
			r.Header.Del("Origin")
			r.Header.Set("Sec-Fetch-Site",
				"cross-site")
		},
		"same site": func(r *http.Request) {
			r.Header.Del("Origin")
			r.Header.Set("Sec-Fetch-Site",
				"same-site")
		},
	} {
		post := s.request("POST", "/api/practice", strings.NewReader("{}"))
		change(post)
		if w := s.do(post); w.Code != http.StatusForbidden {
			t.Errorf("%s: POST %d", name, w.Code)
		}
		get := s.request("GET", "/api/start", nil)
		change(get)
		if w := s.do(get); w.Code != http.StatusForbidden {
			t.Errorf("%s: GET %d", name, w.Code)
		}
	}
	if a := call[startAnswer](t, s, "GET", "/api/start", nil); len(a.Recent) != 0 {
		t.Errorf("%d cases were begun", len(a.Recent))
	}
}

// TestGetChangesNothing: no address does anything on GET that POST does.
func TestGetChangesNothing(t *testing.T) {
	s := newTest(t, "")
	id := call[begun](t, s, "POST", "/api/cases", map[string]bool{"demo": true}).ID
	at := "/api/cases/" + id
	for _, path := range []string{"/api/practice", "/api/cases", "/api/boards", at + "/act", at + "/trial"} {
		if w := s.do(s.request("GET", path, nil)); w.Code != http.StatusMethodNotAllowed {
			t.Errorf("GET %s: %d", path, w.Code)
		}
	}
}

// TestTraversal: no name from the page reaches a file outside.
func TestTraversal(t *testing.T) {
	s := newTest(t, "")
	if w := s.do(s.request("GET", "/page/board/geometry.js", nil)); w.Code != http.StatusOK {
		t.Errorf("a file of the page: %d", w.Code)
	}
	for _, id := range []string{"..%2f..%2fetc", "..", "%2e%2e", "a%2f..%2f..", "A", ".case", "x%00"} {
		w := s.do(s.request("GET", "/api/cases/"+id+"/view", nil))
		if w.Code == http.StatusOK {
			t.Errorf("case %s: %d %s", id, w.Code, w.Body)
		}
	}
	for _, file := range []string{"..%2fserver.go", "../server.go", "%2fetc%2fpasswd", "board/../../doc.go",
		"index.html%00", "board"} {
		if w := s.do(s.request("GET", "/page/"+file, nil)); w.Code == http.StatusOK {
			t.Errorf("page %s: %d", file, w.Code)
		}
	}
}

// form writes files as the page sends them.
func form(t *testing.T, name string, files map[string]string) (*bytes.Buffer, string) {
	t.Helper()
	var body bytes.Buffer
	f := multipart.NewWriter(&body)
	if err := f.WriteField("name", name); err != nil {
		t.Fatal(err)
	}
	for path, text := range files {
		head := fmt.Sprintf(`form-data; name="file"; filename=%q`, path)
		part, err := f.CreatePart(map[string][]string{"Content-Disposition": {head}})
		if err != nil {
			t.Fatal(err)
		}
		io.WriteString(part, text)
	}
	f.Close()
	return &body, f.FormDataContentType()
}

// TestUploadStays: whatever an upload calls its files, they end in the board's
// own folder, and its rubbish is told in words.
func TestUploadStays(t *testing.T) {
	s := newTest(t, "")
	outside := filepath.Join(filepath.Dir(s.folder.Dir()), "escaped.gbr")
	body, kind := form(t, "../../../x", map[string]string{
		"../../escaped.gbr": "hello", "/abs.gbr": "hello", `..\..\w.gbr`: "hello", "folder/é top.gbr": "hello",
	})
	r := s.request("POST", "/api/boards", body)
	r.Header.Set("Content-Type", kind)
	w := s.do(r)
	if w.Code != http.StatusOK {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	if _, err := os.Stat(outside); err == nil {
		t.Error("a file left the folder")
	}
	kept := 0
	err := filepath.Walk(filepath.Join(s.folder.Dir(), "boards"), func(_ string, i os.FileInfo, err error) error {
		if err == nil && !i.IsDir() {
			kept++
		}
		return err
	})
	if err != nil || kept != 4 {
		t.Errorf("%d files kept, %v", kept, err)
	}
	var b begun
	if err := json.Unmarshal(w.Body.Bytes(), &b); err != nil {
		t.Fatal(err)
	}
	if v := ready(t, s, b.ID); v.Trouble == nil || v.Trouble.What == "" || v.Board != nil {
		t.Errorf("rubbish is no trouble: %+v", v.Card)
	}
}

// endless gives bytes without end.
type endless struct{}

func (endless) Read(p []byte) (int, error) { clear(p); return len(p), nil }

// TestTooBig: an upload beyond the bound is cut off and leaves nothing.
func TestTooBig(t *testing.T) {
	if testing.Short() {
		t.Skip("writes 256 MB")
	}
	s := newTest(t, "")
	head := "--x\r\nContent-Disposition: form-data; name=\"file\"; filename=\"a.gbr\"\r\n\r\n"
	r := s.request("POST", "/api/boards", io.MultiReader(strings.NewReader(head), endless{}))
	r.Header.Set("Content-Type", "multipart/form-data; boundary=x")
	w := s.do(r)
	if w.Code < 400 || !strings.Contains(w.Body.String(), "256 MB") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	left, err := os.ReadDir(filepath.Join(s.folder.Dir(), "boards"))
	if err != nil || len(left) != 0 {
		t.Errorf("%d boards left, %v", len(left), err)
	}
	long := s.request("POST", "/api/practice", io.LimitReader(endless{}, 1<<20))
	if w := s.do(long); w.Code == http.StatusOK {
		t.Errorf("a request of 1 MB: %d", w.Code)
	}
}

// TestPolicy: nothing that the page itself does not carry may run.
func TestPolicy(t *testing.T) {
	s := newTest(t, "")
	w := s.do(s.request("GET", "/", nil))
	p := w.Header().Get("Content-Security-Policy")
	if !strings.Contains(p, "default-src 'none'") || strings.Contains(p, "unsafe") ||
		!strings.Contains(p, "frame-ancestors 'none'") {
		t.Errorf("policy %q", p)
	}
	for _, inline := range []string{"<script>", "<style", " onclick=", " style=", "http://", "https://",
		"javascript:"} {
		if strings.Contains(w.Body.String(), inline) {
			t.Errorf("the page has %s", inline)
		}
	}
}
