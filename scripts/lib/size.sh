# shellcheck shell=bash
# What the app weighs. Wants say and cache.

# What a first visit weighed when it was noted last, kB; kept with the sources, so that a change says what it adds.
SIZE_NOTED=scripts/lib/size.txt

# Everything that a first visit brings and the worker keeps, as a web server would send it, in kB. The pictures for
# the home screen are taken by the phone when the app is installed, the schema of the file is for other programs, and the
# words of other languages than English come when they are wanted: they are not counted.
size_of_dist() {
    local bytes=0 file
    while IFS= read -r -d '' file; do
        bytes=$((bytes + $(gzip -9 -c "$file" | wc -c)))
    done < <(find dist -type f ! \( -path 'dist/icon/*' ! -name icon.svg \) ! -name '*.schema.json' ! -name 'words.*' -print0)
    awk -v b="$bytes" 'BEGIN { printf "%.1f\n", b / 1000 }'
}

# Says it, and by how much it differs from what was noted.
say_size() {
    local now noted
    now="$(size_of_dist)"
    noted="$(cat "$SIZE_NOTED" 2>/dev/null)" || noted="$now"
    say "a first visit weighs $now kB (gzip), $(awk -v a="$now" -v b="$noted" 'BEGIN { printf "%+.1f", a - b }') against what was noted"
    local words code
    for words in dist/words.*.txt; do
        [ -f "$words" ] || continue
        code="${words#dist/words.}"
        say "one in ${code%%-*} weighs $(gzip -9 -c "$words" | wc -c | awk '{ printf "%.1f", $1 / 1000 }') kB more"
    done
}

note_size() {
    size_of_dist >"$SIZE_NOTED"
}

# Prints kilobytes of code by crate and module, of the program that Cargo left when the app was built for publishing. The
# tool is no part of the app: a package of its own, built in a few seconds the first time.
list_areas() {
    local program=target/app/wasm32-unknown-unknown/release/trimwright-app.wasm
    [ -f "$program" ] || fail "The app was not built here: run scripts/build, then run this again."
    size_tool build --release || fail "The tool that tells code apart could not be built (the log is $CACHE/log/size)."
    say "code as Cargo leaves it, in kB, before wasm-opt and gzip"
    target/size/release/size "$program"
}

# `size_tool COMMAND...`: Cargo for it.
size_tool() {
    quietly size env CARGO_TARGET_DIR=target/size cargo "$1" --locked --manifest-path scripts/size/Cargo.toml "${@:2}"
}
