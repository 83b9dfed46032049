package web

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// onSmallDisk starts the program with its cases on a disk of 3 MB that it
// alone sees, and gives its address and that disk as seen from here.
func onSmallDisk(t *testing.T) (url, disk string) {
	t.Helper()
	unshare, err := exec.LookPath("unshare")
	if err != nil {
		t.Skip("no unshare on this machine: no disk of its own can be made")
	}
	program, dir := built(t), t.TempDir()
	c := exec.Command(unshare, "--user", "--map-root-user", "--mount", "sh", "-c",
		`mount -t tmpfs -o size=3m tmpfs "$1" && exec "$0" bench --port 0 --cases "$1"`, program, dir)
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	var said strings.Builder
	c.Stderr = &said
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		// It may be gone already.
		_ = c.Process.Signal(syscall.SIGKILL)
		_ = c.Wait()
	})
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		_ = c.Wait()
		t.Skipf("this machine lets no small disk be made: %s", strings.TrimSpace(said.String()))
	}
	_, url, _ = strings.Cut(strings.TrimSpace(line), " is at ")
	return url, filepath.Join("/proc", fmt.Sprint(c.Process.Pid), "root", dir)
}

// fill writes a file until the disk takes no more.
func fill(t *testing.T, name string) {
	t.Helper()
	f, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for block := make([]byte, 4096); len(block) > 0; {
		if _, err := f.Write(block); err != nil {
			if !errors.Is(err, syscall.ENOSPC) {
				t.Fatal(err)
			}
			block = block[:len(block)/2] // to the last byte
		}
	}
}

// TestFullDiskInPage: on a disk that is full a value does not count and the
// page says so, with what to do; what was confirmed stays, in the file too;
// after room was made the same value is taken. A board that is brought to a
// full disk is told of in place.
func TestFullDiskInPage(t *testing.T) {
	w := openBrowser(t)
	url, disk := onSmallDisk(t)
	w.do(chromedp.Navigate(url), chromedp.WaitVisible(".drop"))
	w.until(`document.activeElement?.textContent.startsWith("Practice unit")`)
	w.script(`document.activeElement.click()`)
	w.until(`location.hash.startsWith("#/case/")`)
	w.option("All done")
	w.option("Pass over")
	w.option("Press the tips")
	w.until(onPage + `.dataset.step === "read"`)
	w.typeValue("21.3m")
	count := `document.querySelectorAll(".readings li").length`
	filler := filepath.Join(disk, "filler")
	fill(t, filler)
	w.step()
	rev := w.revision()
	w.emptyValue()
	w.keys("22.4m" + kb.Enter)
	w.until(`document.querySelector(".wrong")?.innerText.includes("does not count yet")`)
	w.picture("disk-full")
	if said := eval[string](w, `document.querySelector(".wrong").innerText`); !strings.Contains(said,
		"no space left") || !strings.Contains(said, "make room on the disk") {
		t.Errorf("it says %q", said)
	}
	if n := eval[int](w, count); n != 1 || w.revision() != rev {
		t.Errorf("%d readings at revision %s, was %s", n, w.revision(), rev)
	}
	w.do(chromedp.Reload())
	w.step()
	if n := eval[int](w, count); n != 1 {
		t.Errorf("%d readings after a reload", n)
	}
	files, err := filepath.Glob(filepath.Join(disk, "cases", "*", "*"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasSuffix(f, "case.toml") && strings.Count(string(text), "[[reading]]") != 1 {
			t.Errorf("the file holds:\n%s", text)
		}
	}
	w.do(chromedp.Navigate(url+"#"), chromedp.WaitVisible(".drop"),
		chromedp.SetUploadFiles(`input[type=file]:not([webkitdirectory])`, []string{demoZip(t)}))
	w.until(`document.querySelector(".trouble")?.innerText.includes("make room on the disk")`)
	w.picture("disk-full-start")
	if err := os.Remove(filler); err != nil {
		t.Fatal(err)
	}
	w.do(chromedp.Navigate(url), chromedp.WaitVisible(".recent a"))
	w.script(`document.querySelector(".recent a").click()`)
	w.typeValue("22.4m")
	if n := eval[int](w, count); n != 2 {
		t.Errorf("%d readings after room was made", n)
	}
}
