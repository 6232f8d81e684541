# shellcheck shell=bash
# What the scripts say, always to stderr: stdout is left for results.

say() { printf '· %s\n' "$*" >&2; }

# Ends the script with one sentence: what is wrong and what to do about it.
fail() {
    printf '✗ %s\n' "$*" >&2
    exit 1
}

has() { command -v "$1" >/dev/null 2>&1; }

# Runs a command whose long output matters only when it fails. `$1` names the log.
quietly() {
    local log="$CACHE/log/$1"
    shift
    mkdir -p "$CACHE/log"
    if ! "$@" >"$log" 2>&1 </dev/null; then
        tail -n 25 "$log" >&2
        return 1
    fi
}
