package web

import (
	"encoding/json"
	"errors"
	"net/http"

	"ohmward/internal/answer"
)

// mostAsked bounds the body of a request that is no upload.
const mostAsked = 64 << 10

// decode reads a request's JSON; where it is none, it answers so and gives
// false.
func decode(w http.ResponseWriter, r *http.Request, into any) bool {
	d := json.NewDecoder(http.MaxBytesReader(w, r.Body, mostAsked))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		var big *http.MaxBytesError
		if errors.As(err, &big) {
			fail(w, http.StatusRequestEntityTooLarge, "bad", "the request is too long", "")
		} else {
			fail(w, http.StatusBadRequest, "misuse", "the request is not the JSON that is asked for: "+err.Error(),
				"reload the page")
		}
		return false
	}
	return true
}

func reply(w http.ResponseWriter, v any) {
	data, err := json.Marshal(v)
	if err != nil {
		fail(w, http.StatusInternalServerError, "bad", "the answer cannot be written: "+err.Error(), "")
		return
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	w.Write(data)
}

// fail answers with an error in words.
func fail(w http.ResponseWriter, status int, code, what, hint string) {
	data, err := json.Marshal(map[string]answer.Trouble{"error": {Code: code, What: what, Hint: hint}})
	if err != nil {
		panic("web: " + err.Error())
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	w.Write(data)
}

// statuses map what went wrong to HTTP.
var statuses = map[string]int{
	"bad": http.StatusUnprocessableEntity, "misuse": http.StatusBadRequest, "conflict": http.StatusConflict,
	"busy": http.StatusServiceUnavailable, "meter": http.StatusBadGateway,
	"doubtful": http.StatusUnprocessableEntity,
}

func failed(w http.ResponseWriter, err error) {
	t := answer.TroubleOf(err)
	fail(w, statuses[t.Code], t.Code, t.What, t.Hint)
}
