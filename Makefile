# Whistlestop. "make demo" is the first command, "make test" the last word.
SHELL := /bin/bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := help

MOMENT ?= warm-up
LISTEN ?= 127.0.0.1:8480
SEEDS  ?= 1000
FROM   ?= 1
SEED   ?=
EVENING ?=
TIME   ?= 1m
SAMPLE ?= 150
PKG    ?=
VERSION ?= development
TWICE  ?=
GO_TAGS := -tags no_ui
BINARY  := bin/whistlestop
ENGINE  := .build/engine
LINTERS := .build/staticcheck

help: ## Show the commands
	@grep -hE '^[a-z-]+:.*## ' $(MAKEFILE_LIST) | awk -F ':.*## ' '{printf "make %-10s %s\n", $$1, $$2}'

# ---- for people -------------------------------------------------------------

demo: build ## Open an invented game; MOMENT=warm-up, power-play, coincidental, third-period, overtime
	@$(BINARY) demo --moment $(MOMENT) --listen $(LISTEN)

hub-demo: build ## Open a hub of the invented league with two benches and a link for families
	@$(BINARY) hub demo

cluster-demo: build ## The same as a country would run it: PostgreSQL, three nodes, two hubs
	@$(BINARY) hub demo --cluster

build: ui/dist/practice/index.html ## Build bin/whistlestop, one static binary
	CGO_ENABLED=0 go build -trimpath -ldflags '-s -w' -o $(BINARY) ./cmd/whistlestop

check: format vet $(LINTERS) ui/node_modules/.package-lock.json ## The fast checks, for every save
	@tools/tangled
	go test $(GO_TAGS) -short ./...
	cd ui && npm run --silent check && npm run --silent test

# Beside the journeys come first what waits itself, then what one core can do, and last
# what keeps two cores busy to its end.
test: ## Everything; what .ci/run calls
	@tools/steps system format build e2e-measured e2e-games -- go-race ui lint contract-check vet tools-test go-alone

bench: ## Measure what docs/performance.md records
	go test $(GO_TAGS) -run '^$$' -bench . -benchmem ./...

sides: ## A hub beside what is bare, in one run; ROUNDS=5, FAMILIES=10000
	@tools/sides "$(or $(ROUNDS),5)" "$(or $(FAMILIES),10000)"

soak: ## Every crash of a whole game, simulated games and evenings; SEEDS=1000, FROM=1; one with its log: SEED=7 or EVENING=7
	@tools/soak $(SEEDS) $(FROM) "$(SEED)" "$(EVENING)"

fuzz: ## Fuzz every reader of files and messages, each for TIME=1m
	@tools/fuzz $(TIME)

mutants: ## Change the program and see whether a test notices; SAMPLE=150, SEED=1, PKG=game/rules, ONLY=, OWN=1, AGAIN=1
	@tools/mutate "$(SAMPLE)" "$(SEED)" "$(PKG)" "$(ONLY)" "$(OWN)" "$(AGAIN)"

release: build ## Programs for Linux, macOS and Windows, the practice site, checksums, parts; VERSION=, TWICE=1 makes and compares two
	cd tools && go run -mod=mod ./release -root .. -out ../.build/release -version $(VERSION) $(if $(TWICE),-twice)

screens: system build e2e/node_modules/.package-lock.json ## Take docs/screens again
	cd e2e && npx playwright test --config screens.config.ts

contract: tools/node_modules/.package-lock.json ## Make the contract and the ledger's schema again
	cd tools && go run -mod=mod ./contract -root .. && node contract/types.mjs

rules-docs: ## Make docs/rules.md and its drawings say what the program does
	cd tools && go run -mod=mod ./rulesdoc -root ..

bare: ## make test on a Debian with nothing but Go, Node, git and make; needs root
	@tools/bare $(or $(STEPS),test)

vulncheck: ## Known vulnerabilities; needs the database on the internet
	go run golang.org/x/vuln/cmd/govulncheck@v1.9.0 ./...

tidy: ## go mod tidy in both modules
	go mod tidy
	cd tools && go mod tidy

clean: ## Remove what was built
	rm -rf bin .build ui/dist/assets ui/dist/practice ui/dist/index.html e2e/test-results

# ---- the steps of make test ---------------------------------------------------

system:
	@tools/system

format:
	@unformatted=$$(gofmt -l $$(git ls-files '*.go')); \
	  if [ -n "$$unformatted" ]; then echo "gofmt has changes for:" $$unformatted; exit 1; fi

vet:
	go vet $(GO_TAGS) ./...
	cd tools && go vet -mod=mod ./...

# The tools module uses this repository's packages, so its requirements follow
# ours: -mod=mod takes them over instead of failing until somebody tidies.
$(LINTERS): tools/go.mod tools/go.sum
	mkdir -p .build
	cd tools && go build -mod=mod -o ../.build/ tool
	touch $@

# The same here, with less room: they hold the whole program.
lint: export GOGC := 200
lint: $(LINTERS)
	.build/staticcheck $(GO_TAGS) ./...
	GOOS=js GOARCH=wasm go vet $(GO_TAGS) ./cmd/engine ./internal/store/browser ./internal/worker
	GOOS=js GOARCH=wasm go vet -tags no_ui,pocket ./cmd/pocket
	GOOS=js GOARCH=wasm go vet -tags no_ui,press ./cmd/press
	tools/exhaustive
	tools/dead-code
	tools/tangled

contract-check: tools/node_modules/.package-lock.json
	cd tools && go run -mod=mod ./contract -root .. -check && node contract/types.mjs --check && node contract/strict.mjs \
	  && go run -mod=mod ./rulesdoc -root .. -check

ui: ui/node_modules/.package-lock.json
	cd ui && npm run --silent lint && npm run --silent check && npm run --silent test && npm run --silent knip

# Beside browsers on a busy machine a package may take many times as long as alone:
# a limit is here for what hangs, not for what is slow.
PATIENCE := -timeout 55m

# The wings and these others start no goroutine (tests see to it), so that the race
# detector has nothing to find there. What it makes too slow or too large runs besides.
# The program's own tests start processes and wait for them: they begin first, four at a time.
WINGS := ./game/... ./record/... ./practice/... ./season/... ./crew/...
ALONE := ./internal/tidy ./cmd/engine ./internal/demo ./internal/restart ./internal/paper/... ./internal/folder/cards ./internal/folder/divisions ./internal/folder/durable ./internal/folder/privatefile ./internal/locale/...
# Of these four packages the tests named here do one thing after the other, too: a command,
# a reader with a large file. They run without the race detector, and only so.
PARTLY := ./cmd/whistlestop ./internal/bench ./internal/practice ./internal/proof/hubsim
ONE_BY_ONE := ^Test(AGameTakesOnlySoMuch|AKeptLedger|CardCheck|CardPrint|Check|Codes|CommandsSpeak|Crew|Divisions|EveryCommand|EveryPractice|EveryValue|EveryVariant|FastLeaves|Help|HostileFiles|KeptScripts|Keys|PerfectRobot|PracticeIs|ReadersAreBounded|Report|Roster|SameReports|Season|Seeds|Watched|WhatThe|WhichLanguage)
RACED = $$(go list $(GO_TAGS) ./cmd/... ./internal/... ./ui | grep -vxF -f <(go list $(GO_TAGS) $(ALONE) $(PARTLY)))
# A test's heap is small and its garbage much: collected at five times what is alive, as
# here, tests take a third less processor time. What measures memory sets its own.
go-race go-alone tools-test: export GOGC := 400
go-test: go-race go-alone
go-race:
	go test $(GO_TAGS) -race $(PATIENCE) -parallel 4 -skip '$(ONE_BY_ONE)' $(PARTLY)
	go test $(GO_TAGS) -race $(PATIENCE) $(RACED)
go-alone:
	go test $(GO_TAGS) $(PATIENCE) $(WINGS) $(ALONE)
	go test $(GO_TAGS) $(PATIENCE) -run '$(ONE_BY_ONE)' $(PARTLY)

tools-test: tools/node_modules/.package-lock.json
	cd tools && go test -mod=mod $(PATIENCE) ./...

e2e: e2e-measured e2e-games ## The journeys in a browser

# What measures speed runs by itself.
e2e-measured: build e2e/node_modules/.package-lock.json
	cd e2e && npx playwright test --project=speed

e2e-games: build e2e/node_modules/.package-lock.json
	cd e2e && npm run --silent check && npx playwright test --project=games --no-deps

# ---- files --------------------------------------------------------------------

UI_SOURCES := $(shell find ui internal/locale/messages -type f \
  -not -path '*/node_modules/*' -not -path 'ui/dist/*' -not -name '*.go' 2>/dev/null)

ui/dist/index.html: ui/node_modules/.package-lock.json $(UI_SOURCES)
	cd ui && npm run --silent build:bench
	touch $@

# The practice site is a part of the front end that runs the engine in the browser.
# The bench's front end is built first: its build empties ui/dist.
ui/dist/practice/index.html: ui/dist/index.html $(ENGINE)/engine.wasm.xz $(ENGINE)/wasm_exec.js
	cd ui && npm run --silent build:practice
	touch $@

# Without inlined calls the engine is a tenth smaller to load and a third slower: so
# they are left out. A post is folded from where the one before ended, so what is
# slower is little.
ENGINE_INLINING := -gcflags all=-l

# Go knows by itself what changed. No version of the repository goes in, so that the
# same sources give the same bytes. The engine of practice, which everybody loads, and
# the bench for real games with what prints for it.
$(ENGINE)/engine.wasm: COMMAND := ./cmd/engine
$(ENGINE)/bench.wasm: COMMAND := ./cmd/pocket
$(ENGINE)/bench.wasm: GO_TAGS := -tags no_ui,pocket
$(ENGINE)/press.wasm: COMMAND := ./cmd/press
$(ENGINE)/press.wasm: GO_TAGS := -tags no_ui,press
$(ENGINE)/%.wasm: FORCE
	@mkdir -p $(ENGINE)
	GOOS=js GOARCH=wasm go build -trimpath -buildvcs=false -ldflags '-s -w' $(ENGINE_INLINING) $(GO_TAGS) -o $@ $(COMMAND)

# A third smaller than by gzip, which is what browsers unpack by themselves. What is
# packed keeps its time when no engine changed.
PACKED := engine.wasm bench.wasm press.wasm engine.wasm.xz bench.rest press.rest
$(ENGINE)/engine.wasm.xz: $(ENGINE)/engine.wasm $(ENGINE)/bench.wasm $(ENGINE)/press.wasm ui/practice-site/pack.js
	@command -v xz > /dev/null || tools/system build
	@cd $(ENGINE) && { [ packed -nt $(CURDIR)/ui/practice-site/pack.js ] && [ packed -nt $(CURDIR)/ui/practice-site/apart.js ] && sha256sum --quiet --check packed 2> /dev/null; } || { \
	  node $(CURDIR)/ui/practice-site/pack.js $(PACKED) && sha256sum $(PACKED) > packed; }

# What Go's WebAssembly needs around it has to come from the toolchain that made it.
$(ENGINE)/wasm_exec.js: FORCE
	@mkdir -p $(ENGINE)
	@cmp -s "$$(go env GOROOT)/lib/wasm/wasm_exec.js" $@ || cp "$$(go env GOROOT)/lib/wasm/wasm_exec.js" $@

FORCE:

%/node_modules/.package-lock.json: %/package-lock.json
	cd $* && npm ci --no-audit --no-fund
	touch $@

.PHONY: help demo hub-demo cluster-demo build check test bench sides soak fuzz mutants release screens contract rules-docs bare vulncheck tidy clean \
  system format vet lint contract-check ui go-test go-race go-alone tools-test e2e e2e-measured e2e-games
