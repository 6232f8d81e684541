# shellcheck shell=bash
# The tools that turn the program into a page: trunk, wasm-bindgen, wasm-opt. Versions
# are exact: the page is made of what each of them writes for the other.

TRUNK_VERSION=0.21.14
BINARYEN_VERSION=132
# wasm-bindgen's tool and crate must be of one version.
BINDGEN_VERSION="$(awk '/^name = "wasm-bindgen"$/ { getline; gsub(/[",]/, "", $3); print $3 }' Cargo.lock)"

version_of() { "$1" --version 2>/dev/null | grep -o '[0-9][0-9.]*' | head -n 1; }

# Puts the three on PATH, installing what is not there.
use_web_tools() {
    PATH="$CACHE/tools/bin:$CACHE/npm/node_modules/.bin:$PATH"
    # Without downloads of its own, it is told to stay offline, and so without HTTPS. It waits for
    # the others most of the time: not optimised.
    need_crate_tool trunk trunk "$TRUNK_VERSION" "3 minutes" 0 --locked --no-default-features
    need_crate_tool wasm-bindgen wasm-bindgen-cli "$BINDGEN_VERSION" "2 minutes" 1 --no-default-features
    need_wasm_opt
    hash -r
}

# `need_crate_tool COMMAND CRATE VERSION TIME OPTIMISED [OPTION...]`
need_crate_tool() {
    local command="$1" crate="$2" version="$3" time="$4" optimised="$5"
    shift 5
    [ "$(version_of "$command")" = "$version" ] && return 0
    need_c_compiler
    say "building $crate $version, once (about $time)"
    # The app's flags and target folder are not the tools'. Lightly optimised, if at all: each runs
    # for a second or two, and would take three times as long to build.
    quietly "$crate" env -u CARGO_ENCODED_RUSTFLAGS -u CARGO_TARGET_DIR -u CARGO_BUILD_TARGET \
        CARGO_PROFILE_RELEASE_OPT_LEVEL="$optimised" CARGO_PROFILE_RELEASE_LTO=off \
        CARGO_PROFILE_RELEASE_CODEGEN_UNITS=16 CARGO_PROFILE_RELEASE_STRIP=true \
        cargo install "$crate" --version "$version" --force --root "$CACHE/tools" "$@" ||
        fail "$crate $version could not be installed (the log is $CACHE/log/$crate): check that crates can be downloaded, then run this again."
    hash -r
}

# `need_npm TOOL`: what it is wanted for.
need_npm() {
    has npm && has node && return 0
    say "installing npm, which $1 comes with (1 minute)"
    apt_install npm nodejs ||
        fail "npm could not be had: install Node.js 18 or newer with npm, then run this again."
}

need_wasm_opt() {
    # Older ones, such as Debian 12's, write an app that dies when it starts.
    [ "$(version_of wasm-opt)" = "$BINARYEN_VERSION" ] && return 0
    need_npm wasm-opt
    say "installing wasm-opt (a few seconds)"
    quietly binaryen npm install --prefix "$CACHE/npm" --no-audit --no-fund --no-package-lock \
        "binaryen@$BINARYEN_VERSION.0.0" ||
        fail "npm's binaryen $BINARYEN_VERSION could not be installed (the log is $CACHE/log/binaryen): check that npm packages can be downloaded, then run this again."
    hash -r
    [ "$(version_of wasm-opt)" = "$BINARYEN_VERSION" ] ||
        fail "wasm-opt $BINARYEN_VERSION was installed but does not start: install Node.js 18 or newer, then run this again."
}
