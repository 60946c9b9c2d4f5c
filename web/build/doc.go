// Command build makes the bundle of the browser app: it compiles the program,
// joins the page's loader, names every file by its content, packs the files small
// and writes the list of contents. Unchanged files are not packed again.
//
// Usage, from the root of the module:
//
//	go run ./web/build [-out folder] [-main package] [-office package] [-building package] [-quality 0..11] [-mark text]
//	                   [-framework trimmed|whole] [-overlay file] [-server file]
//
// # Page, loader and worker are our own
//
// The framework's page forbids zooming, its worker takes over at once and caches
// exact addresses, and its icons are remote. They stand in web/assets; what they
// do is measured in web/e2e. It would change if the framework's could be told.
//
// # The loader is modules that the build joins
//
// Each file of web/assets/loader has one job and names what it uses; esbuild, a
// library of this command alone, makes one script of them, so that a start makes
// no further request: 3.4 kB of brotli, where one file of 411 lines was 4.4. It
// would change if browsers fetched modules as fast as one script.
//
// # The office has a program of its own
//
// The screens of the office weigh 0.08 MB that no crew's phone needs. The addresses
// under /office have a program without the phone's screens (app/office/desk): the
// page is the same, its first script chooses by the address, and going from one to
// the other loads the page anew. The worker keeps the office's program once somebody
// opens the office, and from then on with each version. Where it is not kept yet the
// office's page comes from the server, so that page and program are of one version.
// It would change if a program could fetch the rest of itself.
//
// # Building has one as well
//
// The screens after the set-out (app/building) are at /site/…/build/…, and the pour
// list, past states and sources beside them, chosen in the same way. Their program is kept on every device, for there is no signal where one
// builds.
//
// # What reads codes off a camera is kept, and loaded when it is asked for
//
// Taking from another phone reads QR codes of 137 squares a side, twelve a second. Three
// readers were measured on 180 drawn pictures of 20 to 40 versions, turned, leaning and with
// noise, at 3 to 5 pixels a square: zxing-wasm read each, in 3 to 16 ms; one in JavaScript of a
// twelfth of its size half of them; an older one hardly any, in 0.2 s. So it is zxing-wasm,
// 0.33 MB packed, that every device keeps and no start loads (web/assets/zxing). It would
// change if browsers read codes themselves: on Linux none does.
//
// # The start begins with what takes longest
//
// A script in the page itself (web/assets/early.js, named in the content security
// policy by its digest) compiles the kept program while styles and scripts are
// still fetched, and reads it from the cache past the service worker: 0.5 instead
// of 1.1 s for the same 14 MB. Chromium keeps a compiled copy only of what comes
// through the worker or the network; measured, the copy saved about what reading
// it cost. It would change if a program were kept compiled.
//
// # The list of sites is there before the program
//
// The loader keeps the list's own markup, at most twelve sites, whenever it has
// settled, and shows it at the next start of the same version (loader/keptlist.js);
// a tap on it is made again on the program's list as soon as that is there, on the
// same site. What stands there may be a moment older than the store. It would
// change if the program started as fast as a page.
//
// # A key of the keypad types when it is pressed
//
// A tap lasts some 80 ms (from memory) and the browser then makes four mouse
// events of it before the click. The loader clicks a key with data-types at
// pointerdown and swallows the click that follows (loader/keypad.js), but not
// where the screen can scroll, for there a finger may have come to scroll. WCAG
// 2.2 allows it for what imitates a keyboard's keys (success criterion 2.5.2,
// note 1). It would change if clicks came at once.
//
// # The program is built with a trimmed copy of the framework
//
// Five of its files run only on a server, encrypt, or parse patterns that no address
// needs, and draw net/http, TLS, ciphers, templates, regular expressions and the
// tables of Unicode into the program. The folder _framework stands in for them: the
// build stops when the framework's own change, and -framework whole builds without.
// The file _uuid.go stands in for the library of its identities. Packages that work
// once for each tap are compiled without inlining (coldPackages). Measured together:
// 2.54 to 1.94 MB of brotli, without the ciphers another 0.05. It would change if the
// framework parted its server from its browser half.
//
// # The memory that a program begins with is one piece
//
// Go's linker leaves out each run of zeros between data and so writes a hundred
// thousand pieces with an address each (segments.go joins them): 2.30 to 2.16 MB of
// brotli, though a megabyte more of plain bytes. It would change if the linker did.
package main
