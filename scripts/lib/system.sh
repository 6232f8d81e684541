# shellcheck shell=bash
# Packages of the system, where it has apt.

# Set once the package lists have been renewed.
APT_UPDATED=""

as_root() {
    if [ "$(id -u)" -eq 0 ]; then
        "$@"
    elif has sudo; then
        sudo "$@"
    else
        return 1
    fi
}

# `apt_install PACKAGE...`: false when they can't be had; says nothing then, for
# the caller knows what the packages were for.
apt_install() {
    has apt-get || return 1
    if [ "$(id -u)" -ne 0 ] && ! has sudo; then
        say "installing $* needs root, or sudo, which is not here"
        return 1
    fi
    if [ -z "$APT_UPDATED" ]; then
        quietly apt-update as_root apt-get update || return 1
        APT_UPDATED=1
    fi
    quietly "apt-$1" as_root env DEBIAN_FRONTEND=noninteractive \
        apt-get install -y --no-install-recommends "$@"
}

need_c_compiler() {
    has cc && return 0
    say "installing a C compiler, which some Rust crates need (half a minute)"
    apt_install gcc libc6-dev && has cc && return 0
    fail "No C compiler (cc) could be had: install gcc or clang, then run this again."
}
