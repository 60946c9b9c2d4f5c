package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"sort"
	"strings"
	"text/template"

	"golang.org/x/sync/errgroup"

	"pegpour/engine/words"
	"pegpour/web/bundle"
)

const (
	wasmName     = "app.wasm"
	officeName   = "office.wasm"   // the program of the office; the worker knows it by this name
	buildingName = "building.wasm" // the program of building
	papersName   = "papers.wasm"   // the program that makes documents
	checkedName  = "checked.tsv"
)

// mediaTypes gives the type each kind of file is served with, and whether it
// gains by packing.
var mediaTypes = map[string]struct {
	name   string
	packed bool
}{
	".wasm":        {"application/wasm", true},
	".js":          {"text/javascript; charset=utf-8", true},
	".css":         {"text/css; charset=utf-8", true},
	".html":        {"text/html; charset=utf-8", true},
	".svg":         {"image/svg+xml", true},
	".webmanifest": {"application/manifest+json", true},
	".png":         {"image/png", false},
	".json":        {"application/json", true},
	".tsv":         {"text/tab-separated-values; charset=utf-8", true},
}

// assembly is a bundle in the making.
type assembly struct {
	options
	contents bundle.Contents
	address  map[string]string // of each file, by its name in the source

	words        []string // of each language "code|name|address"
	papersFile   string   // name of the program that makes documents, "" for none
	officeFile   string   // name of the program of the office, "" for none
	buildingFile string   // name of the program of building, "" for none

	packing errgroup.Group
}

// programs are what is compiled for the browser, nil where there is none; named are
// the same with the names of their functions.
type programs struct {
	phone, office, building, papers []byte
	named                           *programs
}

func build(o options) error {
	programs, err := compile(o)
	if err != nil {
		return err
	}
	fresh := o.out + ".new"
	if err := os.RemoveAll(fresh); err != nil {
		return err
	}
	if err := os.MkdirAll(fresh, 0o755); err != nil {
		return err
	}
	a := &assembly{options: o, address: map[string]string{}}
	a.out = fresh
	if err := a.assemble(programs); err != nil {
		return err
	}
	if err := replaceFolder(o.out, fresh); err != nil {
		return err
	}
	if err := report(o, a); err != nil {
		return err
	}
	table, err := roomsTable(o, programs)
	if err != nil {
		return err
	}
	fmt.Println(table)
	if o.server == "" {
		return nil
	}
	flags := "-s -w"
	if revision, err := exec.Command("git", "rev-parse", "HEAD").Output(); err == nil { // else it is not known
		flags += " -X main.revision=" + strings.TrimSpace(string(revision))
	}
	return run([]string{"CGO_ENABLED=0"}, "go", "build", "-trimpath", "-buildvcs=false", "-ldflags", flags, "-o", o.server, "./web")
}

// compile builds the programs for the browser, all in one go.
func compile(o options) (programs, error) {
	var none programs
	folder := filepath.Join(o.cache, "programs")
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return none, err
	}
	arguments, err := compileArguments(o)
	if err != nil {
		return none, err
	}
	arguments = append(arguments, "-o", folder+string(filepath.Separator))
	for _, program := range []string{o.main, o.office, o.building, o.papers} {
		if program != "" && !slices.Contains(arguments, program) {
			arguments = append(arguments, program)
		}
	}
	if err := run([]string{"GOOS=js", "GOARCH=wasm"}, "go", arguments...); err != nil {
		return none, err
	}
	named := &programs{}
	read := func(program string, with *[]byte) (wasm []byte) {
		if program == "" || err != nil {
			return nil
		}
		if *with, err = os.ReadFile(filepath.Join(folder, path.Base(program))); err == nil {
			wasm, err = joinData(*with, forgetNamesIfKnown)
		}
		return append(wasm, markSection(o.mark)...)
	}
	made := programs{phone: read(o.main, &named.phone), office: read(o.office, &named.office),
		building: read(o.building, &named.building), papers: read(o.papers, &named.papers), named: named}
	return made, err
}

// compileArguments are the arguments of the go command that builds for the browser,
// but for what is written where.
func compileArguments(o options) ([]string, error) {
	module, err := trimmedModule(o)
	if err != nil {
		return nil, err
	}
	replaced, err := overlay(o)
	if err != nil {
		return nil, err
	}
	arguments := append([]string{"build", "-trimpath", "-buildvcs=false"}, module...)
	return append(append(arguments, replaced...), coldFlags()...), nil
}

// markSection is a WebAssembly custom section with a text in it: it changes
// the file and nothing that the program does. The text is under 100 bytes.
func markSection(mark string) []byte {
	if mark == "" {
		return nil
	}
	const name = "mark"
	payload := append([]byte{byte(len(name))}, name+mark...)
	return append([]byte{0, byte(len(payload))}, payload...)
}

// assemble writes all files of the bundle, those first that others refer to. As many are
// packed at once as there are processors.
func (a *assembly) assemble(made programs) error {
	a.packing.SetLimit(runtime.GOMAXPROCS(0))
	if len(a.mark) > 100 {
		return fmt.Errorf("-mark has %d bytes, at most 100 are allowed", len(a.mark))
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return err
	}
	support, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return err
	}
	a.contents.Wasm, err = a.add(wasmName, made.phone)
	if err != nil {
		return err
	}
	if made.office != nil {
		if a.officeFile, err = a.add(officeName, made.office); err != nil {
			return err
		}
	}
	if made.building != nil {
		if a.buildingFile, err = a.add(buildingName, made.building); err != nil {
			return err
		}
	}
	if _, err := a.add("wasm_exec.js", support); err != nil {
		return err
	}
	loader, err := joinLoader()
	if err != nil {
		return err
	}
	if _, err := a.add("loader.js", loader); err != nil {
		return err
	}
	if err := a.addPapers(made.papers); err != nil {
		return err
	}
	if err := errors.Join(a.addReader(), a.addPicture()); err != nil {
		return err
	}
	var styles []string
	for _, pattern := range []string{"web/assets/*.png", "web/assets/*.svg", "web/assets/*.css", "app/*.css"} {
		files, err := filepath.Glob(pattern)
		if err != nil {
			return err
		}
		sort.Strings(files)
		for _, file := range files {
			content, err := os.ReadFile(file)
			if err != nil {
				return err
			}
			if _, err := a.add(filepath.Base(file), content); err != nil {
				return err
			}
			if filepath.Ext(file) == ".css" {
				styles = append(styles, filepath.Base(file))
			}
		}
	}
	if err := a.addWords(); err != nil {
		return err
	}
	if err := a.addChecked(); err != nil {
		return err
	}
	manifest, err := a.fill("web/assets/manifest.webmanifest", nil)
	if err != nil {
		return err
	}
	if _, err := a.add("manifest.webmanifest", manifest); err != nil {
		return err
	}
	return errors.Join(a.addPageAndWorker(styles, made), a.packing.Wait())
}

// addPapers adds the program that makes documents, and the worker it runs in.
func (a *assembly) addPapers(papers []byte) error {
	if papers == nil {
		return nil
	}
	var err error
	if a.papersFile, err = a.add(papersName, papers); err != nil {
		return err
	}
	worker, err := a.fill("web/assets/papers.js", nil)
	if err != nil {
		return err
	}
	_, err = a.add("papers.js", worker)
	return err
}

// addWords adds the files of the languages. They are apart from the program,
// which reads the one that is spoken.
func (a *assembly) addWords() error {
	var files []string
	for _, folder := range strings.Split(a.wordsFrom, ",") {
		found, err := filepath.Glob(filepath.Join(folder, "*.json"))
		if err != nil {
			return err
		}
		sort.Strings(found)
		files = append(files, found...)
	}
	for _, file := range files {
		content, err := os.ReadFile(file)
		if err != nil {
			return err
		}
		l, err := words.Read(content)
		if err != nil {
			return fmt.Errorf("%s: %w", file, err)
		}
		var small bytes.Buffer
		if err := json.Compact(&small, content); err != nil {
			return err
		}
		name := "words-" + l.Code + ".json"
		if _, err := a.add(name, small.Bytes()); err != nil {
			return err
		}
		a.words = append(a.words, l.Code+"|"+l.Name+"|"+a.address[name])
	}
	return nil
}

// addChecked adds what the engine was checked against, and what sources print
// wrongly, with a form feed between: one screen reads it.
func (a *assembly) addChecked() error {
	var all [][]byte
	for _, name := range []string{"table.tsv", "errata.tsv"} {
		content, err := os.ReadFile("engine/reference/" + name)
		if err != nil {
			return err
		}
		all = append(all, content)
	}
	_, err := a.add(checkedName, bytes.Join(all, []byte("\f")))
	return err
}

// addPageAndWorker ends a bundle: the page names the version, which all other
// files and the sources of page and worker make; the worker lists all files, the
// program of the office apart.
func (a *assembly) addPageAndWorker(styles []string, made programs) error {
	version := sha256.New()
	for _, f := range a.contents.Files {
		fmt.Fprintln(version, f.Name, f.SHA256)
	}
	early, err := os.ReadFile("web/assets/early.js")
	if err != nil {
		return err
	}
	a.contents.Script = bundle.ScriptSource(early)
	for _, source := range []string{"web/assets/page.html", "web/assets/early.js", "web/assets/delta.js", "web/assets/worker.js"} {
		content, err := os.ReadFile(source)
		if err != nil {
			return err
		}
		version.Write(content)
	}
	a.contents.Version = hex.EncodeToString(version.Sum(nil))[:12]

	office, building := "", ""
	if made.office != nil {
		office = officeName
	}
	if made.building != nil {
		building = buildingName
	}
	page, err := a.fill("web/assets/page.html", map[string]any{
		"Version": a.contents.Version, "Early": string(early), "Wasm": wasmName, "WasmSize": len(made.phone),
		"Office": office, "OfficeSize": len(made.office),
		"Building": building, "BuildingSize": len(made.building),
		"Papers": a.address["papers.js"], "Reader": a.address["reader.js"],
		"Picture": a.address["picture.js"], "Checked": a.address[checkedName], "Worker": bundle.WorkerPath,
		"Styles": styles, "Words": strings.Join(a.words, ";"),
	})
	if err != nil {
		return err
	}
	if a.contents.Page, err = a.add("page.html", page); err != nil {
		return err
	}

	type listed struct {
		Path   string `json:"path"`
		SHA256 string `json:"sha256"`
		Size   int    `json:"size"`
	}
	files, ofOffice := []listed{}, []listed{}
	for _, f := range a.contents.Files {
		to := &files
		if f.Name == a.officeFile {
			to = &ofOffice
		}
		*to = append(*to, listed{bundle.AssetPrefix + f.Name, f.SHA256, f.Size})
	}
	list, err := json.Marshal(map[string]any{
		"version": a.contents.Version, "page": bundle.AssetPrefix + a.contents.Page, "files": files, "office": ofOffice,
	})
	if err != nil {
		return err
	}
	worker := fmt.Appendf(nil, "const bundle = %s;\n", list)
	for _, part := range []string{"web/assets/delta.js", "web/assets/worker.js"} {
		source, err := os.ReadFile(part)
		if err != nil {
			return err
		}
		worker = append(worker, source...)
	}
	if a.contents.Worker, err = a.add("worker.js", worker); err != nil {
		return err
	}
	contents, err := json.MarshalIndent(a.contents, "", "  ")
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(a.out, bundle.ContentsFile), append(contents, '\n'), 0o644)
}

// add writes one file under its content name and returns that name.
func (a *assembly) add(name string, content []byte) (string, error) {
	kind, known := mediaTypes[filepath.Ext(name)]
	if !known {
		return "", fmt.Errorf("%s: no media type is set down for this kind of file", name)
	}
	if a.address[name] != "" {
		return "", fmt.Errorf("%s: two files have this name", name)
	}
	sum := sha256.Sum256(content)
	digest := hex.EncodeToString(sum[:])
	extension := filepath.Ext(name)
	file := bundle.File{
		Name: strings.TrimSuffix(name, extension) + "." + digest[:16] + extension,
		Type: kind.name, Size: len(content), SHA256: digest, Packed: kind.packed,
	}
	a.address[name] = bundle.AssetPrefix + file.Name
	a.contents.Files = append(a.contents.Files, file)
	if !kind.packed {
		return file.Name, os.WriteFile(filepath.Join(a.out, file.Name), content, 0o644)
	}
	a.packing.Go(func() error { return a.pack(file, content) })
	return file.Name, nil
}

// fill fills a template in which {{asset "name"}} is the address of a file.
func (a *assembly) fill(source string, data any) ([]byte, error) {
	asset := func(name string) (string, error) {
		if a.address[name] == "" {
			return "", fmt.Errorf("no file %q is in the bundle", name)
		}
		return a.address[name], nil
	}
	t, err := template.New(filepath.Base(source)).Funcs(template.FuncMap{"asset": asset}).ParseFiles(source)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = t.Execute(&out, data)
	return out.Bytes(), err
}

func run(environment []string, name string, arguments ...string) error {
	command := exec.Command(name, arguments...)
	command.Env = append(os.Environ(), environment...)
	command.Stdout, command.Stderr = os.Stdout, os.Stderr
	if err := command.Run(); err != nil {
		return fmt.Errorf("%s %s: %w", name, strings.Join(arguments, " "), err)
	}
	return nil
}
