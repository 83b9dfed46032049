package boardread

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"
)

// named is the small board without attributes, under other names, with more
// files.
func named(names string, more map[string]string) fstest.MapFS {
	set := fstest.MapFS{}
	for _, f := range strings.Fields(names) {
		from, to, _ := strings.Cut(f, "=")
		text := string(smallBoard()[from].Data)
		if i := strings.Index(text, "%TF.FileFunction"); i >= 0 {
			text = text[:i] + text[i+strings.Index(text[i:], "\n")+1:]
		}
		set[to] = &fstest.MapFile{Data: []byte(text)}
	}
	for name, plot := range more {
		set[name] = &fstest.MapFile{Data: gerberText("", plot)}
	}
	return set
}

// TestSureRoleBeatsGuess: notes and drawings whose names hold a bare word of
// copper lose to the copper file, with a doubt; a name of notes is none.
func TestSureRoleBeatsGuess(t *testing.T) {
	const note = "D10*\n" + "X1000000Y1000000D02*\nX3000000Y1000000D01*\n"
	endings := "b-top.gbr=b.gtl b-bottom.gbr=b.gbl b-profile.gbr=b.gko b.drl=b.drl"
	words := "b-top.gbr=b-F_Cu.gbr b-bottom.gbr=b-B_Cu.gbr b-profile.gbr=b-Edge_Cuts.gbr b.drl=b.drl"
	for _, c := range []struct {
		names, file string
		doubt       bool
	}{
		{endings, "Front panel-CmtUser.gbr", false}, {words, "Front panel-CmtUser.gbr", false},
		{words, "Top lamp-User_Comments.gbr", false}, {words, "Top lamp-Eco1_User.gbr", false}, {words, "back-User_1.gbr", false},
		{endings, "Front panel sheet.gbr", true}, {words, "Front panel sheet.gbr", true}, {words, "back.gbr", true},
		{endings, "lamp bottom.gbr", true}, {words, "art1.gbr", true}, {words, "component side.gbr", true},
	} {
		set := named(c.names, map[string]string{c.file: note})
		b, err := Read(set, "made", Options{})
		if err != nil {
			t.Errorf("%s: %v", c.file, err)
			continue
		}
		if len(b.Layers) != 2 || b.Layers[0].File == c.file || b.Layers[1].File == c.file {
			t.Errorf("%s: layers %v", c.file, b.Layers)
		}
		if got := hasDoubt(b, c.file, "ignored", "for sure"); got != c.doubt {
			t.Errorf("%s: a doubt %v, want %v: %v", c.file, got, c.doubt, b.Doubts)
		}
	}
	// Attributes and what the user says are sure too; two sure files are not settled.
	set := put(smallBoard(), "top view.gbr", gerberText("", note))
	if b := mustRead(t, set, Options{}); b.Layers[0].File != "b-top.gbr" || !hasDoubt(b, "top view.gbr", "ignored") {
		t.Errorf("%v %v", b.Layers, b.Doubts)
	}
	for _, two := range []struct {
		set  fstest.MapFS
		opt  Options
		want string
	}{
		{set, Options{Roles: []string{"top view.gbr=copper top"}}, "two files for copper layer L1"},
		{put(smallBoard(), "b-F_Cu.gbr", gerberText("", note)), Options{}, `--role "b-F_Cu.gbr=ignore"`},
		{put(put(smallBoard(), "x/top.gbr", gerberText("", note)), "y/top.gbr", gerberText("", note)), Options{}, "name the folder of one"},
	} {
		if _, err := Read(two.set, "made", two.opt); err == nil || !strings.Contains(err.Error(), two.want) {
			t.Errorf("%v, want %s", err, two.want)
		}
	}
}

// TestOddCount: a drawing taken as a further copper layer is named, with what
// has it ignored; layers that their files say to be copper are not doubted.
func TestOddCount(t *testing.T) {
	inner := "D10*\n" + line(1, 1, 19, 1) + line(19, 1, 19, 15)
	pads := "D11*\n" + flash(5, 5) + flash(15, 5)
	four := map[string]string{"b.g1": inner, "b.g2": inner}
	names := "b-top.gbr=b.gtl b-bottom.gbr=b.gbl b-profile.gbr=b.gko b.drl=b.drl"
	arts := "b-top.gbr=art1.pho b-bottom.gbr=art4.pho b-profile.gbr=b.gko b.drl=b.drl"
	with := func(m map[string]string, name, plot string) map[string]string {
		out := map[string]string{name: plot}
		for k, v := range m {
			out[k] = v
		}
		return out
	}
	for _, c := range []struct {
		names string
		more  map[string]string
		file  string // that is doubted
	}{
		{names, nil, ""}, {names, four, ""},
		{names, with(four, "b.g3", pads), "b.g3"},
		{names, with(with(nil, "b.g1", pads), "b.g2", inner), ""},
		{names, with(with(with(nil, "b.g1", pads), "b.g2", inner), "b.g3", inner), "b.g1"},
		{names, with(nil, "b.g1", pads), "b.g1"},
		{arts, map[string]string{"art2.pho": inner, "art3.pho": inner, "art5.pho": pads}, "art5.pho"},
		{arts, map[string]string{"art2.pho": inner, "art3.pho": inner, "art5.pho": "D10*\n" + line(-40, -40, 60, 60)}, "art5.pho"},
	} {
		set := named(c.names, c.more)
		b := mustRead(t, set, Options{})
		var got []string
		for _, d := range b.Doubts {
			if strings.Contains(d.What, "boards of an odd number") {
				got = append(got, d.File)
			}
		}
		if s := fmt.Sprint(got); s != fmt.Sprint(strings.Fields(c.file)) {
			t.Errorf("%v: doubts about %s, want %q", c.more, s, c.file)
			continue
		}
		if c.file == "" {
			continue
		}
		if !hasDoubt(b, fmt.Sprintf("--role \"%s=ignore\"", c.file)) {
			t.Errorf("%v", b.Doubts)
		}
		again := mustRead(t, set, Options{Roles: []string{c.file + "=ignore"}})
		if len(again.Layers) != len(b.Layers)-1 || hasDoubt(again, "odd number") {
			t.Errorf("%s ignored: %d layers, %v", c.file, len(again.Layers), again.Doubts)
		}
	}
	three := put(put(smallBoard(), "b-bottom.gbr", gerberText("Copper,L3,Bot", inner)), "b-in.gbr", gerberText("Copper,L2,Inr", pads))
	if b := mustRead(t, three, Options{}); hasDoubt(b, "ignore") {
		t.Errorf("a board that says to have three layers: %v", b.Doubts)
	}
	_, err := Read(named(names, map[string]string{"layer7.gbr": pads}), "made", Options{})
	if err == nil || !strings.Contains(err.Error(), `if layer7.gbr shows no copper`) || !strings.Contains(err.Error(), `--role "layer7.gbr=ignore"`) {
		t.Errorf("a drawing that leaves a gap: %v", err)
	}
}
