package web

import (
	"embed"
	"io/fs"
	"net/http"
	"path"
)

//go:embed page
var embedded embed.FS

// kinds are the files that may be served, by ending.
var kinds = map[string]string{
	".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8",
	".js":  "text/javascript; charset=utf-8",
	".svg": "image/svg+xml",
}

func page(name string) http.HandlerFunc {
	return func(w http.ResponseWriter, _ *http.Request) { serveFile(w, name) }
}

func asset(w http.ResponseWriter, r *http.Request) { serveFile(w, r.PathValue("file")) }

// serveFile serves one embedded file; names with dots or slashes out of place
// are none.
func serveFile(w http.ResponseWriter, name string) {
	kind, known := kinds[path.Ext(name)]
	data, err := fs.ReadFile(embedded, "page/"+name)
	if !known || err != nil {
		http.Error(w, "no such page", http.StatusNotFound)
		return
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Cache-Control", "no-cache")
	w.Write(data)
}
