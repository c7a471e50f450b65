#!/usr/bin/env bash
# The one gate: format, tidy, vet, staticcheck, tests with the race detector in
# shuffled order. Run it before a commit; .ci/run calls it on a clean machine.
#
#   .ci/check.sh           everything
#   .ci/check.sh fast      the same without the race detector
set -euo pipefail
cd "$(dirname "$0")/.."

tool() { go tool -modfile=.tools/go.mod "$@"; }
step() { printf '== %s\n' "$*"; }

step format
unformatted=$(tool gofumpt -l .)
if [ -n "$unformatted" ]; then
	printf 'not formatted (go tool -modfile=.tools/go.mod gofumpt -w .):\n%s\n' "$unformatted"
	exit 1
fi

step tidy
go mod tidy -diff

step vet
go vet ./...

step staticcheck
tool staticcheck ./...

if [ "${1:-}" = fast ]; then
	step tests
	go test -shuffle=on ./...
else
	step 'tests of what knows no goroutine'
	alone=$(go list ./load/assess ./load/ramp ./load/rehab ./web/chart ./web/words ./cmd/tidemark/demo)
	# shellcheck disable=SC2086
	go test -shuffle=on $alone
	step 'tests, with the race detector'
	# Hundreds of runners, and every route as everybody, take minutes with the detector, and show it nothing that a
	# few do not.
	many='TestSquadSizes|TestTwoClinics|TestAccess|TestAPIAccess|TestNothingIsInfinite'
	# shellcheck disable=SC2046
	go test -race -shuffle=on -timeout=12m -skip "^(TestBrowser|$many)\$" $(go list ./... | grep -vxF "$alone")
	step 'tests of many'
	go test -run "^($many)\$" ./web
	# The pages are the same ones; a browser that waits for the detector tests nothing more.
	step 'tests in the browser'
	go test -timeout=8m -run '^TestBrowser$' ./cmd/tidemark
fi
