# shellcheck shell=bash
# What judges the app as a page: Lighthouse. Wants say, cache, system and web.

# What it asks for, and how much each counts, changes from one version to the next.
LIGHTHOUSE_VERSION=12.8.2
LIGHTHOUSE="$CACHE/lighthouse/node_modules/.bin/lighthouse"

need_lighthouse() {
    [ "$(version_of "$LIGHTHOUSE")" = "$LIGHTHOUSE_VERSION" ] && return 0
    need_npm Lighthouse
    say "installing Lighthouse (half a minute, 200 MB)"
    quietly lighthouse npm install --prefix "$CACHE/lighthouse" --no-audit --no-fund --no-package-lock \
        "lighthouse@$LIGHTHOUSE_VERSION" ||
        fail "npm's lighthouse $LIGHTHOUSE_VERSION could not be installed (the log is $CACHE/log/lighthouse): check that npm packages can be downloaded, then run this again."
    [ "$(version_of "$LIGHTHOUSE")" = "$LIGHTHOUSE_VERSION" ] ||
        fail "Lighthouse $LIGHTHOUSE_VERSION was installed but does not start: install Node.js 18.16 or newer, then run this again."
}
