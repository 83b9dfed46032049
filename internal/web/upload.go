package web

import (
	"errors"
	"io"
	"mime"
	"net/http"

	"ohmward/internal/answer"
	"ohmward/internal/session"
)

// bring takes a board: a form with the field "name", then one "file" for each
// file, whose file name is its path in the folder.
func (s *Server) bring(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, session.MostUpload+(4<<20))
	form, err := r.MultipartReader()
	if err != nil {
		fail(w, http.StatusBadRequest, "misuse", "no files came with the request",
			"drop a folder, a zip or an IPC-2581 file")
		return
	}
	var u *session.Upload
	id, err := func() (string, error) {
		name := "board"
		for {
			part, err := form.NextPart()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				return "", err
			}
			if part.FormName() == "name" {
				text, err := io.ReadAll(io.LimitReader(part, 200))
				if err != nil {
					return "", err
				}
				name = string(text)
				continue
			}
			if u == nil {
				if u, err = s.folder.Bring(name); err != nil {
					return "", err
				}
			}
			if err := u.Add(pathOf(part.Header.Get("Content-Disposition")), part); err != nil {
				return "", err
			}
		}
		if u == nil {
			return "", &answer.Error{Kind: answer.Bad, What: "nothing was brought",
				Hint: "drop a folder, a zip or an IPC-2581 file"}
		}
		return u.Begin()
	}()
	if err == nil {
		reply(w, begun{id})
		return
	}
	if u != nil {
		u.Drop()
	}
	var big *http.MaxBytesError
	if errors.As(err, &big) {
		t := answer.TroubleOf(session.TooBig())
		fail(w, http.StatusRequestEntityTooLarge, t.Code, t.What, t.Hint)
		return
	}
	failed(w, err)
}

// pathOf gives a part's file name with its folders, which the standard
// library's own accessor takes off.
func pathOf(disposition string) string {
	_, params, err := mime.ParseMediaType(disposition)
	if err != nil {
		return ""
	}
	return params["filename"]
}
