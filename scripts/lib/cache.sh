# shellcheck shell=bash
# Where the tools are kept: outside the checkout, so that every checkout shares them.

CACHE="${TRIMWRIGHT_CACHE:-${XDG_CACHE_HOME:-$HOME/.cache}/trimwright}"
mkdir -p "$CACHE"
export CACHE

# Two scripts started at once must not install the same thing twice: the second
# waits here for the first. The lock goes when the script ends.
lock_cache() {
    has flock || return 0
    exec 9>"$CACHE/lock"
    if ! flock --nonblock 9; then
        say "another script is installing the tools: waiting for it"
        flock 9
    fi
}

unlock_cache() {
    has flock || return 0
    exec 9>&-
}
