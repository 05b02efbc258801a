//go:build unix

package main

import (
	"bufio"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"testing"
)

// A hub is started anew at a socket that is held open, in the way of sd_listen_fds(3):
// whoever asks while no hub is there is answered by the next one.
func TestAHubTakesTheSocketThatIsHeldOpen(t *testing.T) {
	t.Parallel() // it waits most of its time
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close()
	socket, err := listener.(*net.TCPListener).File()
	if err != nil {
		t.Fatal(err)
	}
	defer socket.Close()
	address, data := "http://"+listener.Addr().String(), t.TempDir()
	begin := func() *exec.Cmd {
		t.Helper()
		// The variable names the process that the socket is for.
		cmd := exec.Command("/bin/sh", "-c", `export LISTEN_PID=$$; exec "$0" "$@"`, os.Args[0], "hub", "--data", data, "--listen", "systemd", "--address", address)
		cmd.Env = append(os.Environ(), runAsProgram+"=1", "LISTEN_FDS=1")
		cmd.ExtraFiles = []*os.File{socket}
		out, err := cmd.StdoutPipe()
		if err == nil {
			err = cmd.Start()
		}
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _, _ = cmd.Process.Kill(), cmd.Wait() })
		said := bufio.NewReader(out)
		// Its start is over when it has printed the link of the first admin.
		for _, want := range []string{"hub " + address + "/", "admin " + address + "/first/"} {
			if line, err := said.ReadString('\n'); err != nil || !strings.HasPrefix(line, want) {
				t.Fatal(line, err)
			}
		}
		go func() { _, _ = io.Copy(io.Discard, said) }()
		return cmd
	}
	ask := func() (int, error) {
		client := &http.Client{Transport: &http.Transport{DisableKeepAlives: true}}
		answer, err := client.Get(address + "/status")
		if err != nil {
			return 0, err
		}
		return answer.StatusCode, answer.Body.Close()
	}
	first := begin()
	if status, err := ask(); err != nil || status != http.StatusOK {
		t.Fatal(status, err)
	}
	if err := first.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	if err := first.Wait(); err != nil {
		t.Fatal(err)
	}
	type answer struct {
		status int
		err    error
	}
	answered := make(chan answer, 1)
	go func() {
		status, err := ask()
		answered <- answer{status, err}
	}()
	begin()
	if got := <-answered; got.err != nil || got.status != http.StatusOK {
		t.Error(got)
	}
	if _, failed := command(t, "hub", "--data", t.TempDir(), "--listen", "systemd"); !strings.Contains(failed, "one socket") {
		t.Error(failed)
	}
}
