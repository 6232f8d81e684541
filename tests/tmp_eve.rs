#[path="/work/main/tests/support/mod.rs"] mod support;
#[path="/work/main/tests/statics/evening.rs"] mod evening;
