# make build   the browser app and the server, in one binary: build/pegpour
# make run     build, and serve at http://localhost:8080
# make test    everything that is checked, on a fresh Debian with Go and make
# make soak    drawn worlds of faults, and fifty devices, long
# make fuzz    each fuzz target for FUZZTIME
# make bench   the benchmarks; make baseline records what they are compared with
# make shots   pictures: of the screens in web/e2e/pictures, of the shell in web/e2e/shots
# make icons   draw the PNG icons anew from web/assets/icon.svg
# make letters cut the lettering of papers anew from two typefaces of Debian's
# make clean   remove what was built

GO       ?= go
ADDR     ?= localhost:8080
FUZZTIME ?= 10s
COUNT    ?= 6
BENCHTIME ?= 200ms
BENCHSTAT := golang.org/x/perf/cmd/benchstat@v0.0.0-20260908200009-22c9c6c9d4da
STATICCHECK := honnef.co/go/tools/cmd/staticcheck@v0.8.2
NATIVE   := -buildvcs=false -p 1 -run '^$$' -bench . -benchmem -benchtime $(BENCHTIME) -count $(COUNT) ./engine/... ./storage/... ./web/api
SUDO     := $(shell [ "$$(id -u)" = 0 ] || echo sudo)

.PHONY: build run test vet chromium firefox webkit postgres ezdxf poppler soak fuzz bench baseline shots icons letters clean

build:
	@$(GO) run -buildvcs=false ./web/build -server build/pegpour

run: build
	./build/pegpour serve -addr $(ADDR)

# The browser tests use the binary that build made. Under CI=1 they fail, not
# skip, when there is no browser. They take longest and are named first, so that
# the other packages run beside them; vet has vetted everything by then.
TEST := CI=1 PEGPOUR_BINARY=$(CURDIR)/build/pegpour $(GO) test -buildvcs=false -vet=off -count=1 -timeout 40m -parallel 3

# The programs under test are packed in a tenth of the time, a sixth less small; build
# holds each to its own budget then, see web/build.
test: chromium firefox webkit postgres ezdxf poppler vet
	@$(GO) run -buildvcs=false ./web/build -quality 9 -server build/pegpour
	@touch build/failed; { $(TEST) ./web/e2e ./... && rm -f build/failed; } 2>&1 | tee build/test.log; \
	[ ! -e build/failed ] || .ci/again build/test.log $(TEST)

# What checks holds much at once and lets go of little: a collector that comes later, except
# near two gigabytes, saves a quarter of the work.
vet: export GOGC := 400
vet: export GOMEMLIMIT := 2GiB
vet:
	@unformatted=$$(gofmt -l app engine storage web); \
	if [ -n "$$unformatted" ]; then echo "not in the form of gofmt:"; echo "$$unformatted"; exit 1; fi
	$(GO) vet -buildvcs=false ./...
	@mkdir -p build
	GOBIN=$(CURDIR)/build $(GO) install $(STATICCHECK)
	build/staticcheck ./...
	@GO=$(GO) .ci/only-js > build/only-js
	GOOS=js GOARCH=wasm $(GO) vet -buildvcs=false $$(cat build/only-js)
	GOOS=js GOARCH=wasm build/staticcheck $$(cat build/only-js)

# Debian calls it chromium; other names are taken where they are found. The shell, the
# same without a window, starts with a fifth of the work; where it cannot be had, the
# tests run in the whole browser.
chromium:
	@for name in chromium chromium-browser google-chrome google-chrome-stable; do \
		if command -v $$name >/dev/null; then found=$$name; break; fi; \
	done; \
	if [ -z "$$found" ]; then \
		$(SUDO) apt-get update && DEBIAN_FRONTEND=noninteractive $(SUDO) apt-get install -y --no-install-recommends chromium || exit 1; \
	fi; \
	if [ "$${found:-chromium}" = chromium ] && ! command -v chromium-headless-shell >/dev/null; then \
		DEBIAN_FRONTEND=noninteractive $(SUDO) apt-get install -y --no-install-recommends chromium-headless-shell || \
		{ $(SUDO) apt-get update && DEBIAN_FRONTEND=noninteractive $(SUDO) apt-get install -y --no-install-recommends chromium-headless-shell; } || \
		echo "no chromium-headless-shell: the tests run in the whole browser"; \
	fi

firefox:
	@for name in firefox-esr firefox; do \
		if command -v $$name >/dev/null; then exit 0; fi; \
	done; \
	$(SUDO) apt-get update && DEBIAN_FRONTEND=noninteractive $(SUDO) apt-get install -y --no-install-recommends firefox-esr

# WebKitGTK needs a screen: an X server without one.
webkit:
	@if command -v WebKitWebDriver >/dev/null && command -v Xvfb >/dev/null; then exit 0; fi; \
	$(SUDO) apt-get update && DEBIAN_FRONTEND=noninteractive $(SUDO) apt-get install -y --no-install-recommends webkit2gtk-driver xvfb

# The yard is tested against a real PostgreSQL, started by the tests.
postgres:
	@ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1 || \
	{ $(SUDO) apt-get update && DEBIAN_FRONTEND=noninteractive $(SUDO) apt-get install -y --no-install-recommends postgresql; }

# The files for other drawing programs are read by one of them.
ezdxf:
	@/usr/bin/python3 -c 'import ezdxf' 2>/dev/null || \
	{ $(SUDO) apt-get update && DEBIAN_FRONTEND=noninteractive $(SUDO) apt-get install -y --no-install-recommends python3-ezdxf; }

# Papers are drawn by another program and measured: pdftoppm.
poppler:
	@command -v pdftoppm >/dev/null || \
	{ $(SUDO) apt-get update && DEBIAN_FRONTEND=noninteractive $(SUDO) apt-get install -y --no-install-recommends poppler-utils; }

# What takes too long for every change: ten thousand drawn worlds of phones, yards and
# faults, a million edits on fifty devices, the real server killed again and again, the
# database beneath it failing, a thousand drawn sites as DXF and on paper, readings drawn three thousand times, an upgrade killed at each step, the server as it was before
# the newest layout beside this one, and the memory of a server over a quarter of an hour.
soak:
	PEGPOUR_WORLDS=10000 PEGPOUR_OPERATIONS=1000000 PEGPOUR_KILLS=50 PEGPOUR_HARD=20 PEGPOUR_OLDER=0033f7d PEGPOUR_MEMORY=900 PEGPOUR_DRAWN=1000 $(GO) test -buildvcs=false -count=1 -timeout 5h -v -run 'TestWorld|TestFiftyDevices|TestServerKilled|TestUpgradeKilled|TestExchange|TestPocketOfDrawn|TestPocketOfPairs|TestNoSheetOrTable|TestConfidence' ./engine/advice ./engine/sheets ./storage/yard ./web ./web/api/world

fuzz:
	@for package in $$($(GO) list -buildvcs=false ./...); do \
		for target in $$($(GO) test -buildvcs=false -list '^Fuzz' $$package | grep '^Fuzz'); do \
			echo "$$package $$target"; \
			$(GO) test -buildvcs=false -run '^$$' -fuzz "^$$target$$" -fuzztime $(FUZZTIME) $$package || exit 1; \
		done; \
	done

# The native benchmarks beside testdata/bench/baseline.txt, then the browser's.
# Run it with nothing else running; DEVELOPERS.md says how to read it.
bench: build
	$(GO) test $(NATIVE) | tee build/bench.txt
	$(GO) run $(BENCHSTAT) -ignore cpu testdata/bench/baseline.txt build/bench.txt | tee build/benchstat.txt
	PEGPOUR_BINARY=$(CURDIR)/build/pegpour $(GO) test -buildvcs=false -run '^$$' -bench 'Start|Keystroke|Ways|Owner' -benchtime 12x -timeout 60m ./web/e2e | tee build/bench-browser.txt
	PEGPOUR_BINARY=$(CURDIR)/build/pegpour $(GO) test -buildvcs=false -run '^$$' -bench 'Edits|Passing|Screens' -benchtime 1x -timeout 30m ./web/e2e | tee -a build/bench-browser.txt

# Record the baseline anew, on a quiet machine.
baseline:
	@mkdir -p build
	$(GO) test $(NATIVE) > build/bench.txt
	grep -v '^cpu:' build/bench.txt > testdata/bench/baseline.txt

shots: build poppler
	PEGPOUR_SHOTS=1 PEGPOUR_BINARY=$(CURDIR)/build/pegpour $(GO) test -buildvcs=false -count=1 -run '^TestShots' ./web/e2e
	PEGPOUR_SHOTS=1 $(GO) test -buildvcs=false -count=1 -run TestPocketIsInTrueSize ./engine/sheets

icons:
	$(GO) run -buildvcs=false ./web/icons

# The same packages give the same bytes; what is cut and why stands in cut.py.
TYPEFACE := /usr/share/fonts/truetype/liberation2
ARABIC   := /usr/share/fonts/truetype/noto
letters:
	@{ [ -e $(TYPEFACE) ] && [ -e $(ARABIC)/NotoSansArabic-Bold.ttf ] && /usr/bin/python3 -c 'import fontTools' 2>/dev/null; } || \
	{ $(SUDO) apt-get update && DEBIAN_FRONTEND=noninteractive $(SUDO) apt-get install -y --no-install-recommends fonts-liberation2 fonts-noto-core python3-fonttools; }
	cd engine/draw/pdf/letters && /usr/bin/python3 cut.py $(TYPEFACE) $(ARABIC)

clean:
	find web/built -type f ! -name .keep -delete
	rm -rf build web/built.new web/e2e/shots
