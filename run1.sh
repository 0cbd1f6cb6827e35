cd /work/many
export CARGO_PROFILE_TEST_OPT_LEVEL=0
cargo check --locked --all-targets --message-format short > /tmp/many.c1 2>&1
