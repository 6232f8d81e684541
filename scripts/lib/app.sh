# shellcheck shell=bash
# What every build of the app needs first. Wants say, cache, system, rust, size and web.

prepare_app() {
    lock_cache
    need_rust
    use_web_tools
    # Its flags are not the app's.
    size_tool build --release || fail "The tool that orders the program could not be built (the log is $CACHE/log/size)."
    use_wasm_rust
    unlock_cache
    # Apart from the core's builds: the two may be made by different compilers, and
    # each would throw away the other's work.
    export CARGO_TARGET_DIR=target/app
    # Trunk is told to stay offline, so the crates are fetched for it.
    quietly fetch cargo fetch --locked ||
        fail "The crates could not be downloaded (the log is $CACHE/log/fetch): check the network, then run this again."
}
