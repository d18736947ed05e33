package main

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"embed"
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"strings"
)

//go:embed static
var static embed.FS

// program is the import path of what the worker runs.
const program = "example.com/chelation/examples/page/wasm"

// site makes the page: its files by name, ready for any static host. The library is
// compiled here, and the script that starts a Go program in a browser is that of the
// Go installation that compiled it.
func site() (map[string][]byte, error) {
	files := map[string][]byte{}
	err := fs.WalkDir(static, "static", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		files[path.Base(name)], err = static.ReadFile(name)
		return err
	})
	if err != nil {
		return nil, err
	}
	if files["library.bin"], err = compile(); err != nil {
		return nil, err
	}
	root, err := command(nil, "env", "GOROOT")
	if err != nil {
		return nil, err
	}
	if files["wasm_exec.js"], err = os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js")); err != nil {
		return nil, err
	}
	return files, stamp(files)
}

// compile returns the library for a browser, compressed. The page unpacks it itself,
// so that a host need not know how to.
func compile() ([]byte, error) {
	folder, err := os.MkdirTemp("", "page")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	out := filepath.Join(folder, "library.wasm")
	arguments := []string{"build", "-trimpath", "-ldflags=-s -w", "-o", out}
	for _, cold := range strings.Fields("bufio bytes crypto/... encoding/... flag fmt internal/... io/... os path/... reflect regexp/... slices strconv strings syscall/... time unicode/... example.com/chelation/examples/... example.com/chelation/tables example.com/chelation/chem/measure example.com/chelation/solution/care example.com/chelation/solution/journal") {
		arguments = append(arguments, "-gcflags="+cold+"=-l") // nothing waits for these, and not inlined they are smaller
	}
	if _, err := command([]string{"GOOS=js", "GOARCH=wasm"}, append(arguments, program)...); err != nil {
		return nil, err
	}
	data, err := os.ReadFile(out)
	if err != nil {
		return nil, err
	}
	return pack(data)
}

// pack compresses.
func pack(data []byte) ([]byte, error) {
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := z.Write(data); err != nil {
		return nil, err
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// command runs go.
func command(env []string, args ...string) ([]byte, error) {
	c := exec.Command("go", args...)
	c.Env = append(os.Environ(), env...)
	var complaint bytes.Buffer
	c.Stderr = &complaint
	out, err := c.Output()
	if err != nil {
		return nil, fmt.Errorf("go %s: %w: %s", args[0], err, complaint.String())
	}
	return out, nil
}

// stamp tells the script that keeps the page for use without a network which files
// there are, and gives them a name that changes with any of them.
func stamp(files map[string][]byte) error {
	const script = "offline.js"
	names := []string{}
	h := sha256.New()
	for _, name := range sorted(files) {
		fmt.Fprintf(h, "%s %d\n", name, len(files[name]))
		h.Write(files[name])
		if name != script {
			names = append(names, name)
		}
	}
	list, err := json.Marshal(names)
	if err != nil {
		return err
	}
	head := fmt.Sprintf("const edition = %q;\nconst files = %s;\n", fmt.Sprintf("%x", h.Sum(nil)[:8]), list)
	files[script] = append([]byte(head), files[script]...)
	return nil
}
