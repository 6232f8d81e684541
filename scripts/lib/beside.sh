# shellcheck shell=bash
# One piece of work beside the others. Wants say and cache.

BESIDE_NAME=""
BESIDE_PID=""

# `beside NAME COMMAND...`: starts it. What it says is shown with its name before it, the rest of
# what it writes goes into a log of that name.
beside() {
    BESIDE_NAME="$1"
    shift
    mkdir -p "$CACHE/log"
    # With a process group of its own, so that all of it can be stopped.
    set -m
    { "$@" </dev/null 2>&1 | tee "$CACHE/log/$BESIDE_NAME" | only_what_it_says; } &
    BESIDE_PID=$!
    set +m
    trap stop_beside EXIT
}

only_what_it_says() {
    local line
    while IFS= read -r line; do
        case "$line" in
        "· "* | "✗ "*) printf '%s %s: %s\n' "${line%% *}" "$BESIDE_NAME" "${line#* }" >&2 ;;
        esac
    done
}

stop_beside() {
    [ -n "$BESIDE_PID" ] || return 0
    kill -- "-$BESIDE_PID" 2>/dev/null
    BESIDE_PID=""
}

# Waits for it, and ends the script when it failed.
wait_for_beside() {
    [ -n "$BESIDE_PID" ] || return 0
    local pid="$BESIDE_PID"
    if wait "$pid"; then
        BESIDE_PID=""
        return 0
    fi
    BESIDE_PID=""
    tail -n 40 "$CACHE/log/$BESIDE_NAME" >&2
    fail "$BESIDE_NAME failed: its last lines are above, all of them in $CACHE/log/$BESIDE_NAME."
}

# Ends the script if it has failed already.
look_beside() {
    [ -n "$BESIDE_PID" ] || return 0
    kill -0 "$BESIDE_PID" 2>/dev/null || wait_for_beside
}
