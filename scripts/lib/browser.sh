# shellcheck shell=bash
# The browser that the tests drive.

need_browser() {
    if { has chromium || has chromium-browser || has google-chrome; } && has chromedriver; then
        return 0
    fi
    say "installing Chromium and its driver for the browser tests (1 minute)"
    apt_install chromium chromium-driver && has chromium && has chromedriver && return 0
    fail "No browser to test in could be had: install Chromium and a chromedriver of the same version so that both are on PATH, then run this again."
}
