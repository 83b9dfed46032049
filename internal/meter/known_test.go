package meter

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
)

func socketAt(host string) Address { return Address{Interface: Socket, Host: host, Port: 5025} }

func hostsOf(found []Found) (hosts []string) {
	for _, f := range found {
		hosts = append(hosts, f.Address.Host)
	}
	return hosts
}

// Instruments that answered are known, the latest first, each once, at most twenty;
// those of this machine are not.
func TestKnown(t *testing.T) {
	dir := t.TempDir()
	if got := Known(dir); got != nil {
		t.Errorf("at first %v is known", got)
	}
	for _, host := range []string{"192.0.2.1", "192.0.2.2", "127.0.0.1", "localhost", "::1", "192.0.2.1"} {
		remember(dir, socketAt(host), Identity{Maker: "M\x1b", Model: "7\tx", SerialNo: "no\n1"})
	}
	remember(dir, Address{Interface: Serial, Device: "/dev/ttyUSB0"}, Identity{})
	got := Known(dir)
	if want := []string{"192.0.2.1", "192.0.2.2"}; !slices.Equal(hostsOf(got), want) {
		t.Fatalf("known are %v, want %v", hostsOf(got), want)
	}
	if got[0].Name != "M 7x no1" || !got[0].Known {
		t.Errorf("known as %+v", got[0])
	}
	for i := range 2 * mostKnown {
		remember(dir, socketAt(fmt.Sprintf("192.0.2.%d", 100+i)), Identity{})
	}
	if got := Known(dir); len(got) != mostKnown || got[0].Address.Host != fmt.Sprintf("192.0.2.%d", 99+2*mostKnown) {
		t.Errorf("of many %v are known", hostsOf(got))
	}
}

// What is damaged, too long, no file or written by several at once costs nothing but
// what it held.
func TestKnownDamaged(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, knownFile)
	good := socketAt("192.0.2.7").String()
	for text, want := range map[string]int{
		"": 0, "\x00\xff\n" + good + "\t\xff\x1b[2J": 1, good + "\r\n" + good + "\n": 1, "TCPIP0::\n" + good: 1,
		strings.Repeat("x", mostBytes+1): 0,
	} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		got := Known(dir)
		if len(got) != want || want == 1 && strings.ContainsAny(got[0].Name, "\x1b\ufffd") {
			t.Errorf("%.20q: %+v, want %d", text, got, want)
		}
	}
	if err := os.Remove(name); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(name, 0o700); err != nil {
		t.Fatal(err)
	}
	remember(dir, socketAt("192.0.2.1"), Identity{})
	if got := Known(dir); got != nil {
		t.Errorf("of a folder %v", got)
	}
	if err := os.Remove(name); err != nil {
		t.Fatal(err)
	}
	var all sync.WaitGroup
	for i := range 8 {
		all.Go(func() { remember(dir, socketAt(fmt.Sprintf("192.0.2.%d", i+1)), Identity{}) })
	}
	all.Wait()
	if got := Known(dir); len(got) != 8 {
		t.Errorf("eight at once: %v", hostsOf(got))
	}
}
