# shellcheck shell=bash
# A Rust for this machine, and one that can build for the browser.

# The oldest Rust the crates build with: Cargo.toml's rust-version.
RUST_LEAST="$(awk -F'"' '/^rust-version/ { print $2 }' Cargo.toml)"
WASM=wasm32-unknown-unknown

rust_is_new_enough() {
    local have
    have="$("$1" --version 2>/dev/null | awk '{ print $2 }')"
    [ -n "$have" ] && [ "$(printf '%s\n' "$RUST_LEAST" "${have%%-*}" | sort -V | head -n 1)" = "$RUST_LEAST" ]
}

# Cargo, rustc, clippy and rustfmt for this machine.
need_rust() {
    if has cargo && has rustc && rust_is_new_enough rustc; then
        return 0
    fi
    say "installing Rust from the system's packages (1 minute)"
    if apt_install rustc-web cargo-web rust-web-clippy rustfmt-web; then
        hash -r
        if has cargo && rust_is_new_enough rustc; then
            return 0
        fi
    fi
    fail "No Rust $RUST_LEAST or newer could be had: install it with rustup, then run this again."
}

# The formatter and the lints, which some installations leave out.
need_lints() {
    cargo fmt --version >/dev/null 2>&1 && cargo clippy --version >/dev/null 2>&1 && return 0
    say "adding rustfmt and clippy to Rust (half a minute)"
    if has rustup; then
        quietly rustup-component timeout 120 rustup component add rustfmt clippy && return 0
    elif apt_install rustfmt-web rust-web-clippy; then
        return 0
    fi
    fail "No rustfmt and clippy could be had: run 'rustup component add rustfmt clippy' on a networked machine, then run this again."
}

rust_has_wasm() {
    local lib
    lib="$(rustc --print sysroot)/lib/rustlib/$WASM/lib"
    compgen -G "$lib/libstd-*.rlib" >/dev/null
}

# Makes `cargo` in this shell one that builds for the browser. Three ways, the first
# that holds: the Rust that is there has the target; rustup fetches it; the system's
# Rust is used, with a standard library built here from its sources.
use_wasm_rust() {
    unset RUSTFLAGS CARGO_ENCODED_RUSTFLAGS
    # The finished app must not tell where its builder's files lie.
    WASM_RUSTFLAGS=("--remap-path-prefix=${CARGO_HOME:-$HOME/.cargo}=cargo")
    # What makes loops and branches quicker on processors makes them longer, and the browser does its own: 13 kB for nothing.
    WASM_RUSTFLAGS+=("-Cllvm-args=-disable-lsr -enable-pre=0")
    if [ "${TRIMWRIGHT_RUST:-}" != system ] && has rustc && rust_is_new_enough rustc; then
        if rust_has_wasm; then
            export_wasm_flags
            return 0
        fi
        if ! system_std >/dev/null && has rustup; then
            say "adding the browser target to Rust (half a minute)"
            if quietly rustup-target timeout 120 rustup target add "$WASM" && rust_has_wasm; then
                export_wasm_flags
                return 0
            fi
            say "rustup could not fetch it here: going on with the system's Rust"
        fi
    fi
    use_system_rust
    export_wasm_flags
}

# One variable with a separator no path holds, so that paths may hold spaces.
export_wasm_flags() {
    local IFS=$'\x1f'
    export CARGO_ENCODED_RUSTFLAGS="${WASM_RUSTFLAGS[*]}"
}

use_system_rust() {
    local std bin="$CACHE/system-rust"
    # cargo, told of a rustup toolchain, would pass over the system's rustc.
    unset RUSTUP_TOOLCHAIN
    if ! std="$(system_std)"; then
        build_system_std
        std="$(system_std)" || fail "The browser's standard library was built but is not in $CACHE: remove that folder and run this again."
    fi
    mkdir -p "$bin"
    ln -sfn /usr/bin/cargo "$bin/cargo"
    ln -sfn /usr/bin/rustc "$bin/rustc"
    PATH="$bin:$PATH"
    hash -r
    export RUSTC=/usr/bin/rustc
    export CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER=/usr/bin/wasm-ld-22
    # A broken invariant stops the app either way. Without the words for it, which only a console shows, the app is
    # 35 kB lighter; where it stopped is in the console's list of calls.
    WASM_RUSTFLAGS+=("--sysroot=$std" "-Zunstable-options" "-Cpanic=immediate-abort")
    export RUSTC_BOOTSTRAP=1
}

# Prints where the standard library built for the system's Rust is, if it is. The
# name holds the compiler it is for and when it was built: cargo sees the name among
# the flags, and so never mixes the crates of two builds.
system_std() {
    [ -x /usr/bin/rustc ] && [ -x /usr/bin/cargo ] && [ -x /usr/bin/wasm-ld-22 ] || return 1
    local found
    found="$(compgen -G "$CACHE/std/$(system_rust_id)-*/complete" | head -n 1)"
    [ -n "$found" ] && printf '%s\n' "${found%/complete}"
}

system_rust_id() {
    # The library is built small, as the app is; one built otherwise has another name.
    printf '%s-aborting\n' "$(/usr/bin/rustc --version --verbose | cksum | awk '{ print $1 }')"
}

build_system_std() {
    say "installing the system's Rust and its linker for the browser (1 minute)"
    if ! apt_install rustc-web cargo-web rust-web-src lld-22 || [ ! -x /usr/bin/wasm-ld-22 ]; then
        fail "No Rust for the browser could be had: run 'rustup target add $WASM' on a networked machine, or install Debian's rustc-web, cargo-web, rust-web-src and lld-22; then run this again."
    fi
    rust_is_new_enough /usr/bin/rustc ||
        fail "The system's Rust is older than $RUST_LEAST: install a newer one with rustup and 'rustup target add $WASM', then run this again."

    say "building the browser's standard library, once (1 to 2 minutes)"
    local work made
    work="$(mktemp -d)"
    made="$CACHE/std/$(system_rust_id)-$(date +%s)"
    mkdir -p "$work/src" "$made/lib/rustlib/$WASM/lib"
    # An empty crate: what counts is the standard library built for it.
    printf '[package]\nname = "nothing"\nedition = "2024"\n[lib]\n[workspace]\n' >"$work/Cargo.toml"
    printf '#![no_std]\n' >"$work/src/lib.rs"
    # The library is the compiler's own and wants its unstable features; bitcode lets
    # the app's link-time optimisation reach into it.
    quietly std env -u RUSTC_WRAPPER RUSTC=/usr/bin/rustc RUSTC_BOOTSTRAP=1 \
        CARGO_ENCODED_RUSTFLAGS=$'-Cembed-bitcode=yes\x1f-Zunstable-options\x1f-Cpanic=immediate-abort\x1f'"${WASM_RUSTFLAGS[*]}" \
        CARGO_TARGET_DIR="$work/target" CARGO_PROFILE_RELEASE_OPT_LEVEL=z \
        /usr/bin/cargo build --manifest-path "$work/Cargo.toml" --release --target "$WASM" \
        -Z build-std=std,panic_abort,test -Z build-std-features=optimize_for_size ||
        fail "The browser's standard library could not be built (the log is $CACHE/log/std): check that crates can be downloaded, then run this again."
    find "$work/target/$WASM/release/deps" -name '*.rlib' ! -name 'libnothing-*' \
        -exec cp -t "$made/lib/rustlib/$WASM/lib" {} +
    # Build scripts and macros run on this machine, so its own library is there too.
    local host
    for host in "$(/usr/bin/rustc --print sysroot)"/lib/rustlib/*-linux-gnu*; do
        ln -s "$host" "$made/lib/rustlib/"
    done
    rm -rf "$work"
    touch "$made/complete"
}
