// Package format tells what a fabrication file is: its kind from its first
// bytes, and what it shows of the board from its attributes, then from
// customary names and endings. The formats themselves are read by the
// packages below it.
package format

import (
	"bytes"
	"regexp"
	"strings"
)

// Kind is the format of a file.
type Kind uint8

// The kinds told apart. Unknown is everything else.
const (
	Unknown  Kind = iota
	Gerber        // a layer image
	Excellon      // a drill or rout file, XNC included
	IPCD356       // a bare-board test netlist
	IPC2581       // a whole board in XML
	Job           // a Gerber job file in JSON
	Zip           // an archive
)

// String gives the format's name.
func (k Kind) String() string {
	return [...]string{"unknown", "Gerber", "Excellon", "IPC-D-356", "IPC-2581", "Gerber job", "zip"}[k]
}

var (
	gerberMark = regexp.MustCompile(`(?i)%(FS[LTDAI]|MO(MM|IN)\*|ADD[0-9]|AM[A-Z_$.]|LP[DC]\*|` +
		`T[FAO][.A-Z_$]|SR|OFA|IPPOS)`)
	gerberWord = regexp.MustCompile(`(?i)(^|[\s*%])(G0*4 [^*]*\*|G0*[123][A-Z*]|G3[67]\*|G7[0145]\*|G90\*|` +
		`G54D|D[1-9][0-9]+\*|X[-+0-9.]+(Y[-+0-9.]+)?D0*[123]\*|M0*2\*)`)
	drillMark = regexp.MustCompile(`(?m)^ *(M48|INCH(,|\s|$)|METRIC(,|\s|$)|FMAT,[12]|` +
		`T[0-9]+([FSBHZ][0-9.]+)*C[0-9.]+|M95)`)
	drillWord = regexp.MustCompile(`(?m)^ *(T[0-9]+|X[-+0-9.]+(Y[-+0-9.]+)?|Y[-+0-9.]+|G05|G81|M30|` +
		`M7[12]) *\r?$`)
	netlistMark = regexp.MustCompile(`(?m)^(P  (JOB|CODE|UNITS|TITLE|NUM|REV|VER|IMAGE|DIM)|3[1-6]7.{14}|` +
		`3[78][89].{10})`)
	ipc2581Mark  = regexp.MustCompile(`<(\w+:)?IPC-2581[\s>]`)
	jobFieldMark = regexp.MustCompile(`"(GeneralSpecs|FilesAttributes|MaterialStackup|GenerationSoftware|` +
		`DesignRules)"`)
)

// Sniff tells a file's kind from its first bytes (some kilobytes are best).
// Only where they tell nothing, the name's ending decides.
func Sniff(name string, head []byte) Kind {
	head = narrowed(head)
	switch {
	case bytes.Contains(head, []byte("[Content_Types].xml")): // an office document
		return Unknown
	case bytes.HasPrefix(head, []byte("PK\x03\x04")), bytes.HasPrefix(head, []byte("PK\x05\x06")):
		return Zip
	case bytes.IndexByte(head, 0) >= 0:
		return Unknown
	}
	head = bytes.TrimPrefix(head, []byte("\xef\xbb\xbf"))
	text := bytes.TrimLeft(head, " \t\r\n")
	text = bytes.ReplaceAll(text, []byte("\r"), []byte("\n"))
	switch {
	case len(text) == 0:
		return byEnding(name)
	case text[0] == '<':
		if ipc2581Mark.Match(text) {
			return IPC2581
		}
		return Unknown
	case text[0] == '{':
		if jobFieldMark.Match(text) || ending(name) == "gbrjob" {
			return Job
		}
		return Unknown
	case gerberMark.Match(text):
		return Gerber
	case drillMark.Match(text):
		return Excellon
	case netlistMark.Match(text):
		return IPCD356
	case gerberWord.Match(text):
		return Gerber
	case len(drillWord.FindAll(text, 4)) == 4:
		return Excellon
	}
	return Unknown
}

// narrowed gives the head of an XML file in UTF-16 as one of single bytes, by
// its mark of byte order or its first letter; others as they are.
func narrowed(head []byte) []byte {
	for _, mark := range []string{"\xff\xfe<\x00", "\xfe\xff\x00<", "<\x00", "\x00<"} {
		if bytes.HasPrefix(head, []byte(mark)) {
			return bytes.ReplaceAll(bytes.TrimLeft(head, "\xff\xfe"), []byte{0}, nil)
		}
	}
	return head
}

// byEnding is the kind of an empty file, so that its reader can say so.
func byEnding(name string) Kind {
	switch e := ending(name); {
	case e == "drl" || e == "xln" || e == "exc" || e == "drd" || e == "nc":
		return Excellon
	case e == "gbr" || e == "ger" || e == "pho" || byExtension(e).Class != Other:
		return Gerber
	case e == "gbrjob":
		return Job
	case e == "d356" || e == "ipc":
		return IPCD356
	}
	return Unknown
}

// ending is a name's last part after the dot, in lower case.
func ending(name string) string {
	if i := strings.LastIndexByte(name, '.'); i >= 0 && !strings.ContainsAny(name[i:], `/\`) {
		return strings.ToLower(name[i+1:])
	}
	return ""
}
