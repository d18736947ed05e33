// Command page makes and serves the page for the phone in the shop: what to weigh,
// the next pour, what the bath can still take, and what to ask before and after. The
// page calls the library, compiled for the browser, in a worker of its own; once
// loaded it needs no network, and a bath's life stays in the browser, as a journal.
//
//	go run .              from this folder: serves it on this machine
//	go run . -out DIR     writes the files for any static host
//
// It is a module of its own, so that the library does not depend on what drives a
// browser in the tests.
package main

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"maps"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.com/chelation/examples/internal/cli"
)

func main() { cli.Main("page", run) }

func run(args []string, out, diagnostics io.Writer) error {
	f := flag.NewFlagSet("page", flag.ContinueOnError)
	f.SetOutput(io.Discard)
	port := f.Int("port", 8017, "on the loopback address, to serve the page at; 0 takes a free one")
	dir := f.String("out", "", "folder to write the page to, instead of serving it")
	f.Usage = func() {
		fmt.Fprint(diagnostics, "page makes and serves the page for the phone in the shop.\n\nFlags:\n")
		f.SetOutput(diagnostics)
		f.PrintDefaults()
	}
	if err := cli.Parse(f, args); err != nil {
		return err
	}
	if *port < 0 || *port > 65535 {
		return cli.Usagef("-port %d: want 0 to 65535", *port)
	}
	files, err := site()
	if err != nil {
		return err
	}
	if *dir != "" {
		return write(*dir, files, out)
	}
	listener, err := net.Listen("tcp", net.JoinHostPort("127.0.0.1", strconv.Itoa(*port)))
	if err != nil {
		return cli.Usagef("-port %d: %w", *port, err)
	}
	fmt.Fprintf(out, "http://%s/\n", listener.Addr())
	return (&http.Server{Handler: handler(files), ReadHeaderTimeout: 10 * time.Second}).Serve(listener)
}

// write puts the files into a folder and tells their sizes.
func write(dir string, files map[string][]byte, out io.Writer) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	total := 0
	for _, name := range sorted(files) {
		if err := os.WriteFile(filepath.Join(dir, name), files[name], 0o644); err != nil {
			return err
		}
		fmt.Fprintf(out, "%9d %s\n", len(files[name]), name)
		total += len(files[name])
	}
	_, err := fmt.Fprintf(out, "%9d bytes in all\n", total)
	return err
}

// handler serves the files as any static host would.
func handler(files map[string][]byte) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		name := strings.TrimPrefix(r.URL.Path, "/")
		if name == "" {
			name = "index.html"
		}
		data, ok := files[name]
		if !ok {
			http.NotFound(w, r)
			return
		}
		w.Header().Set("Cache-Control", "no-cache")
		http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(data))
	})
}

func sorted(files map[string][]byte) []string { return slices.Sorted(maps.Keys(files)) }
