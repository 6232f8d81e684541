//! Names the functions of a program so that in the order of their names alike ones stand near one another: a web server
//! packs what it sends by what occurred within the last 32 kB. `order PROGRAM RESULT` writes the program with these
//! names, by which `wasm-opt --reorder-functions-by-name` then orders them.
//!
//! After each function comes the one of which most is among the last ones already, by pieces of some bytes.

use std::collections::{HashMap, VecDeque};
use std::error::Error;
use wasmparser::{Parser, Payload, TypeRef};

/// Bytes of a piece.
const PIECE: usize = 6;
/// Bytes of the last functions that count: somewhat less than the packer looks back.
const WINDOW: usize = 28_000;
/// A piece that more functions than this have is in the window anyway.
const COMMON: usize = 150;
/// How much more is asked of a long function: a share of a short one is had by chance.
const LENGTH_POWER: f64 = 0.85;
/// Pieces by which a function counts as longer than it is, for the same reason.
const LENGTH_MORE: f64 = 30.0;

fn main() -> Result<(), Box<dyn Error>> {
    let mut paths = std::env::args_os().skip(1);
    let (Some(from), Some(to)) = (paths.next(), paths.next()) else {
        return Err("name the program, and where to write it with names".into());
    };
    let program = std::fs::read(from)?;
    let (imported, bodies) = functions(&program)?;
    let order = Order::new(&bodies).made();
    std::fs::write(to, [program.as_slice(), &names(imported, &order)].concat())?;
    Ok(())
}

/// How many functions are imported, and the bodies of the program's own.
fn functions(program: &[u8]) -> Result<(usize, Vec<&[u8]>), Box<dyn Error>> {
    let (mut imported, mut bodies) = (0, Vec::new());
    for payload in Parser::new(0).parse_all(program) {
        match payload? {
            Payload::ImportSection(imports) => {
                for import in imports.into_imports() {
                    imported += usize::from(matches!(import?.ty, TypeRef::Func(_)));
                }
            }
            Payload::CodeSectionEntry(body) => bodies.push(&program[body.range()]),
            _ => {}
        }
    }
    Ok((imported, bodies))
}

/// The pieces of a function, each once: its number, and how often it occurs.
type Pieces = Vec<(usize, f64)>;

/// What is known while an order is made.
struct Order<'a> {
    bodies: &'a [&'a [u8]],
    pieces: Vec<Pieces>,
    /// By piece: the functions that have it, how much it tells, and how often it is in the window.
    had_by: Vec<Pieces>,
    tells: Vec<f64>,
    in_window: Vec<usize>,
    /// How much of each function is in the window.
    score: Vec<f64>,
    window: VecDeque<usize>,
}

impl<'a> Order<'a> {
    fn new(bodies: &'a [&'a [u8]]) -> Self {
        let mut numbers: HashMap<&[u8], usize> = HashMap::new();
        let mut pieces: Vec<Pieces> = Vec::new();
        for body in bodies {
            let mut all: Vec<usize> = Vec::new();
            for piece in body.windows(PIECE) {
                let next = numbers.len();
                all.push(*numbers.entry(piece).or_insert(next));
            }
            all.sort_unstable();
            let alike = all.chunk_by(|a, b| a == b);
            pieces.push(alike.map(|same| (same[0], same.len() as f64)).collect());
        }
        let mut had_by: Vec<Pieces> = vec![Vec::new(); numbers.len()];
        for (function, pieces) in pieces.iter().enumerate() {
            for (piece, times) in pieces {
                had_by[*piece].push((function, *times));
            }
        }
        let tells = |functions: &Pieces| match functions.len() {
            n @ 2..=COMMON => 1.0 / (1.0 + (n as f64).ln()),
            _ => 0.0,
        };
        Self {
            bodies,
            tells: had_by.iter().map(tells).collect(),
            in_window: vec![0; had_by.len()],
            had_by,
            score: vec![0.0; pieces.len()],
            pieces,
            window: VecDeque::new(),
        }
    }

    /// The functions one after the other.
    fn made(mut self) -> Vec<usize> {
        let lengths = self.pieces.iter().map(|pieces| {
            let length: f64 = pieces.iter().map(|(_, times)| times).sum();
            (length + LENGTH_MORE).powf(LENGTH_POWER)
        });
        let lengths: Vec<f64> = lengths.collect();
        let mut left: Vec<usize> = (0..lengths.len()).collect();
        let mut order = Vec::with_capacity(left.len());
        let mut held = 0;
        while !left.is_empty() {
            let alike = |function: &usize| self.score[*function] / lengths[*function];
            // Of equal ones the first, as the compiler has them.
            let best =
                (0..left.len()).rev().max_by(|a, b| alike(&left[*a]).total_cmp(&alike(&left[*b])));
            let next = left.remove(best.unwrap_or_default());
            order.push(next);
            self.enters(next);
            held += self.bodies[next].len();
            while held > WINDOW && self.window.len() > 1 {
                let Some(last) = self.window.pop_front() else { break };
                self.leaves(last);
                held -= self.bodies[last].len();
            }
        }
        order
    }

    fn enters(&mut self, function: usize) {
        for (piece, _) in &self.pieces[function] {
            self.in_window[*piece] += 1;
            if self.in_window[*piece] == 1 {
                for (other, times) in &self.had_by[*piece] {
                    self.score[*other] += self.tells[*piece] * times;
                }
            }
        }
        self.window.push_back(function);
    }

    fn leaves(&mut self, function: usize) {
        for (piece, _) in &self.pieces[function] {
            self.in_window[*piece] -= 1;
            if self.in_window[*piece] == 0 {
                for (other, times) in &self.had_by[*piece] {
                    self.score[*other] -= self.tells[*piece] * times;
                }
            }
        }
    }
}

/// The section with the names (WebAssembly Core Specification, appendix "Name Section"): their order is the given one.
fn names(imported: usize, order: &[usize]) -> Vec<u8> {
    let mut places = vec![0; order.len()];
    for (place, function) in order.iter().enumerate() {
        places[*function] = place;
    }
    let mut functions = number(places.len());
    for (function, place) in places.iter().enumerate() {
        functions.extend(number(imported + function));
        functions.extend(text(&format!("{place:08}")));
    }
    // 1 is the kind of the names of functions, 0 that of a section with a name.
    let named = [text("name"), vec![1], number(functions.len()), functions].concat();
    [vec![0], number(named.len()), named].concat()
}

fn text(text: &str) -> Vec<u8> {
    [number(text.len()), text.as_bytes().to_vec()].concat()
}

/// An unsigned number as LEB128.
fn number(mut number: usize) -> Vec<u8> {
    let mut bytes = Vec::new();
    loop {
        let low = (number & 0x7F) as u8;
        number >>= 7;
        if number == 0 {
            bytes.push(low);
            return bytes;
        }
        bytes.push(low | 0x80);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use wasmparser::{KnownCustom, Name};

    #[test]
    fn alike_functions_come_after_one_another() {
        let of = |what: &str, n: usize| format!("{what} and so on, {n} times").repeat(3);
        let texts = [
            of("fill the tank", 1),
            of("0123456789", 2),
            of("fill the tank", 3),
            of("0123456789", 4),
        ];
        let bodies: Vec<&[u8]> = texts.iter().map(String::as_bytes).collect();
        assert_eq!(Order::new(&bodies).made(), [0, 2, 1, 3]);
    }

    #[test]
    fn the_names_can_be_read_and_are_in_order() {
        let order: Vec<usize> = (0..300).rev().collect();
        let program = [b"\0asm\x01\0\0\0".to_vec(), names(7, &order)].concat();
        let mut found = Vec::new();
        for payload in Parser::new(0).parse_all(&program) {
            let Payload::CustomSection(section) = payload.expect("a program") else { continue };
            let KnownCustom::Name(kinds) = section.as_known() else { continue };
            for kind in kinds {
                let Name::Function(functions) = kind.expect("names") else { continue };
                found.extend(functions.into_iter().map(|f| f.expect("a name")));
            }
        }
        found.sort_by_key(|function| function.name);
        let indices: Vec<u32> = found.iter().map(|function| function.index).collect();
        assert_eq!(indices, (7..307).rev().collect::<Vec<u32>>());
    }
}
