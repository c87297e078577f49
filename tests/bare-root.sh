#!/bin/sh
# Proves on a bare Debian 12 what README promises: that "make demo" and "make
# test" of the committed tree need nothing but make. Run as root:
#
#     make bare-root
#
# A root is made by debootstrap (fetches some 60 MB), reaches the same mirrors
# as this machine, and is removed again whatever happens. Its mounts and
# processes live in namespaces of their own and end with them.
set -eu

suite=bookworm
if [ "${1:-}" != inside ]; then
    [ "$(id -u)" -eq 0 ] || {
        echo "bare-root: needs root, for chroot and mount" >&2
        exit 1
    }
    for tool in debootstrap unshare git; do
        command -v $tool >/dev/null || {
            echo "bare-root: please install $tool" >&2
            exit 1
        }
    done
    root=$(mktemp -d "${TMPDIR:-/var/tmp}/hanklab-root.XXXXXX")
    chmod 755 "$root" # apt fetches as a user of its own
    child=
    end() {
        # unshare itself ignores milder signals
        [ -z "$child" ] || kill -KILL "$child" 2>/dev/null || :
        wait
        rm -rf --one-file-system "$root" "$root.log"
    }
    trap end EXIT
    trap 'exit 130' INT TERM HUP
    unshare --mount --pid --fork --kill-child --propagation private \
        sh "$0" inside "$root" </dev/null &
    child=$!
    wait "$child" && status=0 || status=$?
    child=
    exit "$status"
fi

root=$2
step() { echo "=== $* ($(($(date +%s) - began)) s)"; }
began=$(date +%s)

# The first mirror of this suite that apt knows here, or Debian's own.
# shellcheck disable=SC2016 # the names are apt's to fill in
mirror=$(apt-get indextargets --format '$(REPO_URI) $(CODENAME)' \
    'Created-By: Packages' 2>/dev/null | sed -n "s/ $suite\$//p" | head -n 1)
mirror=${mirror:-http://deb.debian.org/debian}
if [ -z "${http_proxy:-}" ]; then
    http_proxy=$(apt-config dump --format '%v%n' Acquire::http::Proxy)
    [ -z "$http_proxy" ] || export http_proxy
fi

step "a bare $suite from $mirror"
debootstrap --variant=minbase --include=make,ca-certificates \
    "$suite" "$root" "$mirror" >"$root.log" 2>&1 || {
    tail -n 20 "$root.log" >&2
    exit 1
}

# How this machine reaches its mirrors: settings, sources, keys, certificates,
# and npm's registry further below.
for list in Acquire APT::Sandbox; do
    apt-config dump $list | grep -v ' "";$' || :
done >"$root/etc/apt/apt.conf.d/90host"
if grep -q "^VERSION_CODENAME=$suite" /etc/os-release; then
    rm -f "$root/etc/apt/sources.list"
    for part in sources.list sources.list.d preferences.d trusted.gpg.d \
        keyrings; do
        [ ! -e /etc/apt/$part ] || cp -rT /etc/apt/$part "$root/etc/apt/$part"
    done
    cp -rT /usr/share/keyrings "$root/usr/share/keyrings"
fi
for store in /etc/ssl/certs /usr/share/ca-certificates \
    /usr/local/share/ca-certificates; do
    [ ! -d $store ] || cp -a $store/. "$root$store/"
done
cp -L /etc/resolv.conf /etc/hosts "$root/etc/"

cat /etc/npmrc "$HOME/.npmrc" >"$root/root/.npmrc" 2>/dev/null || :

mount -t proc proc "$root/proc"
mount --rbind /dev "$root/dev"
mkdir "$root/hanklab"
git archive HEAD | tar -x -C "$root/hanklab"

# Nothing of this machine's environment but its proxies.
set -- HOME=/root TERM=dumb PATH=/usr/sbin:/usr/bin:/sbin:/bin \
    NODE_EXTRA_CA_CERTS=/etc/ssl/certs/ca-certificates.crt
for name in http_proxy https_proxy ftp_proxy no_proxy HTTP_PROXY HTTPS_PROXY \
    FTP_PROXY NO_PROXY npm_config_registry NPM_CONFIG_REGISTRY; do
    eval "value=\${$name:-}"
    [ -z "$value" ] || set -- "$@" "$name=$value"
done
in_root() {
    chroot "$root" env -i "$@"
}

failed=0
for target in demo test; do
    step "make $target"
    in_root "$@" make -C /hanklab "$target" || failed=$((failed + 1))
done
step "bare-root: $((2 - failed)) passed, $failed failed"
[ "$failed" -eq 0 ]
