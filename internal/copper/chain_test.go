package copper

import (
	"fmt"
	"strings"
	"testing"
)

// TestChain: the parts that make one net of two, and the flags that take them
// apart, which must do so.
func TestChain(t *testing.T) {
	for _, c := range []struct{ name, parts, from, to, chain, flags string }{
		{"one link", "R12:0R=0,1", "N0", "N1", "N0 - R12 - N1", "--tie R12=open"},
		{"two links", "R12:0R=0,1 R13:0R=1,2", "N0", "N2", "N0 - R12 - N1 - R13 - N2", "--tie R12=open"},
		{"from the other end", "R12:0R=0,1 R13:0R=1,2", "N2", "N0", "N2 - R13 - N1 - R12 - N0", "--tie R13=open"},
		{"the link goes, not the bead", "FB1:=0,1 R13:0R=1,2", "N0", "N2", "N0 - FB1 - N1 - R13 - N2", "--tie R13=open"},
		{"two ways", "R1:0R=0,1 R2:0R=0,1", "N0", "N1", "N0 - R1 - N1", "--tie R1=open --tie R2=open"},
		{"a long way beside a short one", "R1:0R=0,1 R2:0R=1,2 R3:0R=2,3 L4:10uH=0,3", "N0", "N3", "N0 - L4 - N3", "--tie L4=open --tie R1=open"},
		{"a ring", "R1:0R=0,1 R2:0R=1,2 R3:0R=2,0 R4:0R=2,3", "N0", "N3", "N0 - R3 - N2 - R4 - N3", "--tie R3=open --tie R1=open"},
		{"an array", "RN1:0R=0,1,2,3", "N0", "N3", "N0 - RN1 - N3", "--tie RN1.1,RN1.4=open"},
		{"apart", "R1:0R=0,1 R2:0R=2,3", "N0", "N3", "", ""},
		{"a jumper that is open", "JP1:=0,1", "N0", "N1", "", ""},
	} {
		b := rowOfLands(5)
		for _, p := range strings.Fields(c.parts) {
			head, lands, _ := strings.Cut(p, "=")
			ref, value, _ := strings.Cut(head, ":")
			for k, l := range strings.Split(lands, ",") {
				onLand(b, int(l[0]-'0'), ref, fmt.Sprint(k+1))
			}
			b.Parts[len(b.Parts)-1].Value = value
		}
		n := extract(t, b, Options{})
		ties := n.LowOhmParts()
		from, to := n.byName[c.from], n.byName[c.to]
		chain := n.Chain(ties, from, to)
		got := ""
		if chain != nil {
			got = n.ChainText(chain, from)
		}
		open := n.Untie(ties, from, to)
		if got != c.chain || Flags(open) != c.flags {
			t.Errorf("%s: %q, %s; want %q, %s", c.name, got, Flags(open), c.chain, c.flags)
		}
		if after, err := n.EditTies(ties, open); err != nil || n.Chain(after, from, to) != nil {
			t.Errorf("%s: still joined after %s: %v", c.name, Flags(open), err)
		}
	}
}

// TestDoubtChains: low-ohm parts between a supply and ground are doubted, by
// the name of every one; those of one rail, and parts that are not fitted, are
// not.
func TestDoubtChains(t *testing.T) {
	for _, c := range []struct{ nets, parts, want string }{
		{"+3V3 GND SDA", "R1:0R=0,1", "+3V3 - R1 - GND: --tie R1=open"},
		{"+3V3 CFG GND", "R1:0R=0,1 R2:0R=1,2", "+3V3 - R1 - CFG - R2 - GND: --tie R1=open"},
		{"GND VCC AGND", "R1:0R=0,1 FB2:=0,2", "VCC - R1 - GND: --tie R1=open"},
		{"+3V3 CFG GND", "R1:0R=0,1 R2:0R!=1,2", ""},
		{"GND AGND +5V", "R1:0R=0,1", ""}, {"+3V3 +3V3A GND", "FB1:=0,1", ""}, {"+3V3 EN GND", "R1:0R=0,1 R2:10k=1,2", ""},
		{"+3V3 GND_SENSE GND", "R1:0R=0,1", ""}, {"+3V3 GND X", "JP1:=0,1", ""},
	} {
		names := strings.Fields(c.nets)
		b := rowOfLands(len(names))
		b.Labels = nil
		for i, name := range names {
			label(b, 0, 2*float64(i)+0.1, 0.1, name)
		}
		for _, p := range strings.Fields(c.parts) {
			head, lands, _ := strings.Cut(p, "=")
			ref, value, _ := strings.Cut(head, ":")
			for k, l := range strings.Split(lands, ",") {
				onLand(b, int(l[0]-'0'), ref, fmt.Sprint(k+1))
			}
			part := &b.Parts[len(b.Parts)-1]
			part.Value, part.Absent = strings.TrimSuffix(value, "!"), strings.HasSuffix(value, "!")
		}
		n := extract(t, b, Options{})
		got := n.DoubtChains(n.LowOhmParts())
		if c.want == "" && len(got) == 0 {
			continue
		}
		chain, flags, _ := strings.Cut(c.want, ": ")
		if len(got) != 1 || c.want == "" || !strings.Contains(got[0].What, chain) || !strings.Contains(got[0].What, flags+" takes it out") {
			t.Errorf("%s, %s: %v, want %s", c.nets, c.parts, got, c.want)
		}
	}
}
