package meter

import (
	"context"
	"net"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/gofrs/flock"

	"ohmward/internal/atomicfile"
)

// Instruments on the network that answered once are remembered, so that an address
// that was typed is offered again: a line each in a file beside the locks, the latest
// first, its address and, behind a tab, who it said it is. The file is a convenience:
// what cannot be read or written is done without.
const (
	knownFile = "known"
	mostKnown = 20
	mostBytes = 64 << 10
)

// Known lists the instruments that answered before, the latest first. folder is where
// locks lie; "": the user's own.
func Known(folder string) (found []Found) {
	if folder == "" {
		var err error
		if folder, err = lockFolder(); err != nil {
			return nil
		}
	}
	name := filepath.Join(folder, knownFile)
	info, err := os.Stat(name)
	if err != nil || !info.Mode().IsRegular() || info.Size() > mostBytes {
		return nil
	}
	text, err := os.ReadFile(name)
	if err != nil {
		return nil
	}
	for line := range strings.Lines(string(text)) {
		address, who, _ := strings.Cut(strings.TrimRight(line, "\r\n"), "\t")
		a, err := ParseAddress(address)
		if err != nil || slices.ContainsFunc(found, func(f Found) bool { return f.Address == a }) {
			continue
		}
		if found = append(found, Found{Address: a, Name: printable(who), Known: true}); len(found) == mostKnown {
			break
		}
	}
	return found
}

// printable leaves what a line may hold.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r == '\ufffd' {
			return -1
		}
		return r
	}, s)
}

// remember notes that an instrument answered. Ports and devices of this machine show
// by themselves, and what runs on it is a simulation.
func remember(folder string, a Address, id Identity) {
	if ip := net.ParseIP(a.Host); a.Interface != Socket || a.Host == "localhost" || ip != nil && ip.IsLoopback() {
		return
	}
	if folder == "" {
		var err error
		if folder, err = lockFolder(); err != nil {
			return
		}
	}
	lock := flock.New(filepath.Join(folder, knownFile+".lock"))
	ctx, stop := context.WithTimeout(context.Background(), time.Second)
	defer stop()
	if took, err := lock.TryLockContext(ctx, 10*time.Millisecond); err != nil || !took {
		return
	}
	defer func() { _ = lock.Unlock() }()
	who := strings.TrimSpace(strings.Join([]string{id.Maker, id.Model, id.SerialNo}, " "))
	lines := []string{a.String() + "\t" + printable(who)}
	for _, f := range Known(folder) {
		if f.Address != a && len(lines) < mostKnown {
			lines = append(lines, f.Address.String()+"\t"+f.Name)
		}
	}
	_ = atomicfile.WriteUnsynced(filepath.Join(folder, knownFile), []byte(strings.Join(lines, "\n")+"\n"), 0o600)
}
