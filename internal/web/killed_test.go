package web

import (
	"bufio"
	"fmt"
	"net"
	"os/exec"
	"strings"
	"syscall"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestKilled: the program is killed outright in the middle of a case and
// started anew: the open page comes back by itself, with every confirmed
// reading.
func TestKilled(t *testing.T) {
	w := openBrowser(t)
	program := built(t)
	dir, port := t.TempDir(), freePort(t)
	url, kill := start(t, program, dir, port)
	beside := serveShelf(t, openShelf(t, dir))
	id := readTwice(t, beside) // a case with two readings
	beside.stop()
	w.do(chromedp.Navigate(url + "#/case/" + id))
	w.step()
	w.painted()
	w.typeValue("41.2m")
	said := `document.querySelector(".readings").innerText`
	was := eval[string](w, said)
	kill()
	w.until(`!document.getElementById("lost").hidden`)
	w.picture("server-gone")
	start(t, program, dir, port)
	w.until(`document.getElementById("lost").hidden`)
	w.step()
	if is := eval[string](w, said); is != was ||
		eval[int](w, `document.querySelectorAll(".readings li").length`) != 3 {
		t.Errorf("was %q\nis  %q", was, is)
	}
	rev := w.revision()
	w.keys(kb.Enter) // and it goes on
	w.until(`Number(` + onPage + `.dataset.rev) > ` + rev)
}

func freePort(t *testing.T) int {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().(*net.TCPAddr).Port
}

// start starts the program and gives its address, and how to kill it.
func start(t *testing.T, program, dir string, port int) (url string, kill func()) {
	t.Helper()
	c := exec.Command(program, "bench", "--port", fmt.Sprint(port), "--cases", dir)
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	kill = func() {
		// It may be gone already.
		_ = c.Process.Signal(syscall.SIGKILL)
		_ = c.Wait()
	}
	t.Cleanup(kill)
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	_, url, _ = strings.Cut(strings.TrimSpace(line), " is at ")
	return url, kill
}
