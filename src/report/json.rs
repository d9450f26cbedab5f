//! JSON as the contract has it: `snake_case` keys with their unit, numbers rounded to 0.0001, all finite.
//! The objects are the library's own structs; nothing is renamed here.

use std::io::{self, Write};

use serde::Serialize;
use serde_json::ser::{Formatter, PrettyFormatter, Serializer};

/// Digits behind the point: a tenth of a micron, below which platforms' sines differ.
const DECIMALS: i32 = 4;

/// A number as the contract has it, for tables that promise the same figures.
pub(crate) fn rounded(value: f64) -> f64 {
    let scale = 10_f64.powi(DECIMALS);
    let rounded = (value * scale).round() / scale;
    // A plain zero for minus zero, and whole numbers without a fraction.
    if rounded == 0.0 { 0.0 } else { rounded }
}

/// Pretty JSON with short numbers.
#[derive(Default)]
struct Rounded<'a>(PrettyFormatter<'a>);

impl Formatter for Rounded<'_> {
    fn write_f64<W: ?Sized + Write>(&mut self, writer: &mut W, value: f64) -> io::Result<()> {
        write!(writer, "{}", rounded(value))
    }
    fn begin_array<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.begin_array(writer)
    }
    fn end_array<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_array(writer)
    }
    fn begin_array_value<W: ?Sized + Write>(
        &mut self,
        writer: &mut W,
        first: bool,
    ) -> io::Result<()> {
        self.0.begin_array_value(writer, first)
    }
    fn end_array_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_array_value(writer)
    }
    fn begin_object<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.begin_object(writer)
    }
    fn end_object<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_object(writer)
    }
    fn begin_object_key<W: ?Sized + Write>(
        &mut self,
        writer: &mut W,
        first: bool,
    ) -> io::Result<()> {
        self.0.begin_object_key(writer, first)
    }
    fn begin_object_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.begin_object_value(writer)
    }
    fn end_object_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_object_value(writer)
    }
}

/// Writes `value` as pretty JSON with a final line end.
pub fn write(out: &mut dyn Write, value: &impl Serialize) -> io::Result<()> {
    let mut serializer = Serializer::with_formatter(&mut *out, Rounded::default());
    value.serialize(&mut serializer).map_err(io::Error::from)?;
    writeln!(out)
}
