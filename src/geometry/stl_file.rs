//! Reads the triangles of an STL file in steps: parsing is `stl_io`'s, what is checked around it
//! lets each damaged file get the right message.

use super::corner::Corner;
use super::stl_error::{MOST_TRIANGLES, StlError};
use std::io::Cursor;
use std::ops::Range;

/// What comes before the triangles in a binary file: a free text, then their number.
const HEADER: usize = 84;
/// Bytes of a triangle in a binary file.
const TRIANGLE: usize = 50;
/// Lines of a triangle in a text file.
const LINES: usize = 7;
/// With this some programs begin a text (the byte order mark of UTF-8).
const MARK: &[u8] = b"\xEF\xBB\xBF";
/// No line of a text file is longer than this.
const LONGEST_LINE: usize = 1000;
/// A header that says more than this is not believed at all: a file of a gigabyte.
const MOST_BELIEVED: usize = 20_000_000;

/// The triangles of a file, as far as they are read.
#[derive(Debug, Clone)]
pub(super) struct StlFile {
    bytes: Vec<u8>,
    is_text: bool,
    /// Where reading goes on.
    at: usize,
    /// Triangles read.
    n_read: usize,
    /// Lines read of a text.
    line: usize,
    /// Lines of a text that do not make a whole triangle yet, with their numbers.
    left: Vec<(usize, String)>,
}

impl StlFile {
    /// Looks at how the file begins and how long it is.
    pub(super) fn new(bytes: Vec<u8>) -> Result<Self, StlError> {
        let is_text = match n_triangles(&bytes) {
            Some(said) if bytes.len() == HEADER.saturating_add(said.saturating_mul(TRIANGLE)) => {
                false
            }
            _ => is_stl_text(&bytes),
        };
        if !is_text {
            check_binary(&bytes)?;
        }
        let at = if is_text { 0 } else { HEADER };
        Ok(Self { bytes, is_text, at, n_read: 0, line: 0, left: Vec::new() })
    }

    /// How much is read, 0 to 1.
    pub(super) fn progress(&self) -> f64 {
        self.at as f64 / self.bytes.len().max(1) as f64
    }

    /// The next triangles, about so many; none when the file is at its end. Not all that it gives
    /// are new bytes of the file: a step through a text may give none and not be the last.
    pub(super) fn step(&mut self, n: usize) -> Result<Option<Vec<[Corner; 3]>>, StlError> {
        if self.is_at_the_end() {
            return Ok(None);
        }
        let read = if self.is_text { self.read_text(n)? } else { self.read_binary(n)? };
        for (k, corners) in read.iter().enumerate() {
            if !corners.iter().flatten().all(|c| c.is_finite()) {
                return Err(StlError::NotFinite { triangle: self.n_read + k + 1 });
            }
        }
        self.n_read += read.len();
        if self.n_read > MOST_TRIANGLES {
            return Err(StlError::TooMany { n: self.n_read });
        }
        Ok(Some(read))
    }

    fn is_at_the_end(&self) -> bool {
        let rest = self.bytes.len().saturating_sub(self.at);
        if self.is_text { rest == 0 } else { rest < TRIANGLE }
    }

    fn read_binary(&mut self, n: usize) -> Result<Vec<[Corner; 3]>, StlError> {
        let n = n.min((self.bytes.len() - self.at) / TRIANGLE);
        let end = self.at + n * TRIANGLE;
        // A file of its own for the piece. It begins with a new line, where the library stops to
        // look for the word that a text begins with.
        let mut piece = vec![b'\n'; HEADER - 4];
        piece.extend(u32::try_from(n).unwrap_or(0).to_le_bytes());
        piece.extend(self.bytes.get(self.at..end).unwrap_or_default());
        self.at = end;
        let (read, is_whole) = parse(piece);
        // The piece holds what its header says, so this does not happen.
        if is_whole { Ok(read) } else { Err(StlError::Truncated { holds: self.n_read, said: n }) }
    }

    fn read_text(&mut self, n: usize) -> Result<Vec<[Corner; 3]>, StlError> {
        for _line in 0..n.saturating_mul(LINES) {
            let Some(range) = self.next_line() else { break };
            self.line += 1;
            if range.len() > LONGEST_LINE {
                return Err(StlError::BadLine { line: self.line });
            }
            let bytes = self.bytes.get(range).unwrap_or_default();
            let text = String::from_utf8_lossy(bytes.strip_prefix(MARK).unwrap_or(bytes));
            let text = text.trim().to_ascii_lowercase();
            // One file may hold several solids; their names may be anything.
            if text.is_empty() || text.starts_with("solid") || text.starts_with("endsolid") {
                continue;
            }
            // The normal is not used, and of a triangle without area some write that it is no
            // number.
            let is_facet = text.starts_with("facet");
            let text = if is_facet { "facet normal 0 0 0".to_owned() } else { text };
            self.left.push((self.line, text));
        }
        let n_whole = self.left.len() / LINES;
        let later = self.left.split_off(n_whole * LINES);
        let lines = std::mem::replace(&mut self.left, later);
        if let (true, Some((_, cut_lines))) = (self.is_at_the_end(), self.left.split_last()) {
            // A wrong line earlier is the better reason; the last may be cut itself.
            let triangle = self.n_read + n_whole + 1;
            let cut = StlError::CutText { line: self.line, triangle };
            let all = lines.iter().chain(cut_lines);
            return Err(first_fault(all, self.n_read).unwrap_or(cut));
        }
        let mut piece = String::from("solid piece\n");
        for (_, text) in &lines {
            piece.push_str(text);
            piece.push('\n');
        }
        piece.push_str("endsolid\n");
        let (read, is_whole) = parse(piece.into_bytes());
        if is_whole && read.len() == n_whole {
            return Ok(read);
        }
        let last = lines.last().map_or(self.line, |(line, _)| *line);
        Err(first_fault(lines.iter(), self.n_read).unwrap_or(StlError::BadLine { line: last }))
    }

    /// Where the next line is; goes past it.
    fn next_line(&mut self) -> Option<Range<usize>> {
        let rest = self.bytes.get(self.at..).filter(|rest| !rest.is_empty())?;
        let start = self.at;
        let length = rest.iter().position(|&b| b == b'\n').unwrap_or(rest.len());
        self.at = self.bytes.len().min(start + length + 1);
        Some(start..start + length)
    }
}

/// The library's reading of a whole small file: the triangles before the first fault, and whether
/// there was none.
fn parse(file: Vec<u8>) -> (Vec<[Corner; 3]>, bool) {
    let mut cursor = Cursor::new(file);
    let Ok(reader) = stl_io::create_stl_reader(&mut cursor) else { return (Vec::new(), false) };
    let mut read = Vec::new();
    for triangle in reader {
        let Ok(triangle) = triangle else { return (read, false) };
        read.push(triangle.vertices.map(|v| v.0));
    }
    (read, true)
}

/// What is wrong first in lines of text, which should be triangles one after the other.
fn first_fault<'a>(
    lines: impl Iterator<Item = &'a (usize, String)>,
    n_before: usize,
) -> Option<StlError> {
    lines.enumerate().find_map(|(k, (line, text))| {
        let mut words = text.split_whitespace();
        let expected: &[&str] = match k % LINES {
            0 => &["facet", "normal", "0", "0", "0"],
            1 => &["outer", "loop"],
            5 => &["endloop"],
            6 => &["endfacet"],
            _ => return vertex_fault(*line, text, n_before + k / LINES + 1),
        };
        let is_right = expected.iter().all(|word| words.next() == Some(*word));
        (!is_right || words.next().is_some()).then_some(StlError::BadLine { line: *line })
    })
}

fn vertex_fault(line: usize, text: &str, triangle: usize) -> Option<StlError> {
    let mut words = text.split_whitespace();
    let is_vertex = words.next() == Some("vertex");
    let numbers: Vec<&str> = words.collect();
    let with_points = text.replace(',', ".");
    let reads = |word: &str| word.parse::<f32>().ok();
    if is_vertex
        && text.contains(',')
        && with_points.split_whitespace().skip(1).all(|w| reads(w).is_some())
    {
        return Some(StlError::DecimalComma { line });
    }
    let read: Option<Vec<f32>> = numbers.iter().map(|word| reads(word)).collect();
    match read {
        Some(read) if is_vertex && read.len() == 3 => {
            let is_finite = read.iter().all(|c| c.is_finite());
            (!is_finite).then_some(StlError::NotFinite { triangle })
        }
        _ => Some(StlError::BadLine { line }),
    }
}

/// The number of triangles that the header of a binary file says.
fn n_triangles(bytes: &[u8]) -> Option<usize> {
    let four = bytes.get(HEADER - 4..HEADER)?;
    let said = u32::from_le_bytes(four.try_into().ok()?);
    usize::try_from(said).ok()
}

fn is_text(bytes: &[u8]) -> bool {
    bytes.iter().take(1000).all(|&b| b >= b' ' || matches!(b, b'\t' | b'\n' | b'\r'))
}

fn is_stl_text(bytes: &[u8]) -> bool {
    let start = bytes.strip_prefix(MARK).unwrap_or(bytes).trim_ascii_start();
    let word = start.get(..5).unwrap_or_default();
    word.eq_ignore_ascii_case(b"solid") && is_text(bytes)
}

/// How files begin that are often taken for an STL: packed ones (3MF too), pictures, PDF.
const OTHERS: [&[u8]; 4] = [b"PK", b"\x89PNG", b"\xFF\xD8", b"%PDF"];

fn check_binary(bytes: &[u8]) -> Result<(), StlError> {
    if bytes.is_empty() {
        return Err(StlError::EmptyFile);
    }
    let holds = bytes.len().saturating_sub(HEADER) / TRIANGLE;
    let is_other = OTHERS.iter().any(|other| bytes.starts_with(other));
    let Some(said) = n_triangles(bytes) else { return Err(StlError::NotStl) };
    if said == 0 && bytes.len() == HEADER {
        return Err(StlError::NoTriangles);
    }
    if said != holds && (is_other || is_text(bytes)) {
        return Err(StlError::NotStl);
    }
    if said < holds || said > MOST_BELIEVED {
        return Err(StlError::HeaderCount { said, holds });
    }
    if said > holds {
        return Err(StlError::Truncated { holds, said });
    }
    if said > MOST_TRIANGLES {
        return Err(StlError::TooMany { n: said });
    }
    Ok(())
}
