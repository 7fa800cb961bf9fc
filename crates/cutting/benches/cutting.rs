//! Speed of the load model.

fn main() {
    divan::main();
}
