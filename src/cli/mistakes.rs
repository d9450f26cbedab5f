//! Slips on the command line that a person makes, each answered with what to write instead.
//! Also usage errors cleaned of what the arguments may hold. What a quantity may look like is `units`.

use std::ffi::OsString;
use std::path::PathBuf;

use clap::builder::{PathBufValueParser, StyledStr, TypedValueParser};
use clap::error::{ContextKind, ContextValue, ErrorKind};
use jiff::civil::Date;

use crate::file::in_range;
use crate::rider::measures::AGE_MONTHS;
use crate::rider::{Sex, measures};
use crate::units::{Age, Length, Mass, Quantity as _};
use crate::words::{self, UnknownWord, clip, either};

/// A usage error repeats the arguments: they are cleaned like any other text.
pub(super) fn clean(mut usage: clap::Error) -> clap::Error {
    let clean = |text: &String| words::clean(text).into_owned();
    let cleaned: Vec<_> = usage
        .context()
        .filter_map(|(kind, value)| match value {
            ContextValue::String(text) => Some((kind, ContextValue::String(clean(text)))),
            ContextValue::Strings(texts) => {
                let texts = texts.iter().map(clean).collect();
                Some((kind, ContextValue::Strings(texts)))
            }
            // Tips repeat an argument too; without their colours, which no one can tell from the argument's own.
            ContextValue::StyledStrs(tips) => {
                let tip = |tip: &StyledStr| StyledStr::from(clean(&tip.to_string()));
                let tips = tips.iter().map(tip).collect();
                Some((kind, ContextValue::StyledStrs(tips)))
            }
            _ => None,
        })
        .collect();
    for (kind, value) in cleaned {
        usage.insert(kind, value);
    }
    if let Some(tip) = blank_in_a_figure(&usage) {
        usage.insert(
            ContextKind::Suggested,
            ContextValue::StyledStrs(vec![StyledStr::from(tip)]),
        );
    }
    usage
}

/// An inseam and a height that hold one another's figure are one slip, not two; None of any other usage error.
pub(super) fn swapped(args: &[OsString], usage: &clap::Error) -> Option<clap::Error> {
    let ContextValue::String(blamed) = usage.get(ContextKind::InvalidArg)? else {
        return None;
    };
    let value = |flag: &str| {
        let mut args = args.iter().filter_map(|arg| arg.to_str());
        args.find_map(|arg| {
            arg.strip_prefix(flag)?.strip_prefix('=').map(Some).or({
                // The value is the next argument.
                (arg == flag).then_some(None)
            })
        })
        .and_then(|joined| joined.or_else(|| args.next()))
    };
    let is_of_pair = ["--inseam", "--height"]
        .iter()
        .any(|flag| blamed.starts_with(flag));
    let message = measures::swapped(value("--inseam")?, value("--height")?)?;
    is_of_pair.then(|| {
        let message = format!("--inseam: {message}\n\nFor more information, try '--help'.\n");
        clap::Error::raw(ErrorKind::ValueValidation, message)
    })
}

/// A unit that stands alone belongs to the figure before it.
fn blank_in_a_figure(usage: &clap::Error) -> Option<String> {
    let ContextValue::String(found) = usage.get(ContextKind::InvalidArg)? else {
        return None;
    };
    let is_unit = [Length::spellings(), Mass::spellings(), Age::spellings()]
        .concat()
        .contains(&found.as_str());
    is_unit.then(|| {
        format!(
            "a figure with a blank in it wants quotes, or no blank: 122{found} or \"122 {found}\""
        )
    })
}

/// Where a bike is looked for: a path, but not a measurement whose flag was forgotten.
pub(super) fn frame() -> impl TypedValueParser<Value = PathBuf> {
    PathBufValueParser::new().try_map(|path| {
        let text = path.to_str().unwrap_or_default();
        let is_measurement = text.ends_with(char::is_alphabetic) && text.parse::<Length>().is_ok();
        if is_measurement && !path.exists() {
            let found = clip(text);
            return Err(format!(
                "`{found}` is a length, not a bike; write what was measured before it: --height {found} or --inseam {found}"
            ));
        }
        Ok(path)
    })
}

/// A date given as a flag.
pub(super) fn date(text: &str) -> Result<Date, String> {
    text.trim().parse().map_err(|_| {
        let found = clip(text);
        match other_spellings(text).as_slice() {
            [] => format!("`{found}` is not a date; write year, month and day: 2019-07-02"),
            [one] => format!("`{found}` is not a date here; write {one}"),
            [one, other, ..] => format!(
                "`{found}` can be read two ways; write {one} or {other}, whichever is meant"
            ),
        }
    })
}

/// An age given as a flag.
pub(super) fn age(text: &str) -> Result<Age, String> {
    in_range(&text.into(), &AGE_MONTHS).map_err(|why| {
        let (found, bare) = (clip(text), text.trim());
        let days = match bare.parse() {
            Ok(day) => vec![day],
            Err(_) => other_spellings(bare),
        };
        if let [day, ..] = days.as_slice() {
            return format!("`{found}` is a date, not an age; write it as --born {day}");
        }
        let is_number = bare.starts_with(|c: char| c.is_ascii_digit());
        let Some(number) = bare.parse::<f64>().ok().filter(|_| is_number) else {
            return why;
        };
        if (1900.0..=2200.0).contains(&number) {
            return format!(
                "`{found}` is a year, not an age; write the whole day as --born {number}-07-02"
            );
        }
        let meant = ["y", " months"].map(|unit| format!("{bare}{unit}"));
        let meant: Vec<_> = meant
            .into_iter()
            .filter(|text| in_range::<Age>(&text.as_str().into(), &AGE_MONTHS).is_ok())
            .collect();
        if meant.is_empty() {
            why
        } else {
            format!("`{found}` is not an age; did you mean {}?", either(&meant))
        }
    })
}

/// What a date in another order may mean, day first and then month first.
fn other_spellings(text: &str) -> Vec<Date> {
    let parts: Vec<&str> = text.trim().split(['.', '/', '-', ' ']).collect();
    let numbers: Option<Vec<i16>> = parts.iter().map(|part| part.parse().ok()).collect();
    let Some([a, b, c]) = numbers
        .as_deref()
        .and_then(|n| <[i16; 3]>::try_from(n).ok())
    else {
        return Vec::new();
    };
    let date = |year: i16, month: i16, day: i16| {
        let (month, day) = (i8::try_from(month).ok()?, i8::try_from(day).ok()?);
        (1900..=2200)
            .contains(&year)
            .then(|| Date::new(year, month, day).ok())?
    };
    // Points part a date with the day first; strokes are used both ways.
    let orders = if text.contains('.') {
        [date(a, b, c), date(c, b, a), None]
    } else {
        [date(a, b, c), date(c, b, a), date(c, a, b)]
    };
    let mut dates: Vec<Date> = orders.into_iter().flatten().collect();
    dates.dedup();
    dates
}

/// The sex given as a flag.
pub(super) fn sex(text: &str) -> Result<Sex, String> {
    text.parse().map_err(|wrong: UnknownWord| {
        let meant = match text.trim().to_lowercase().as_str() {
            "f" | "female" | "g" | "girls" => Some(Sex::Girl),
            "m" | "male" | "b" | "boys" => Some(Sex::Boy),
            "w" | "women" => Some(Sex::Woman),
            "men" => Some(Sex::Man),
            other => Sex::ALL.iter().copied().find(|sex| sex.word() == other),
        };
        meant.map_or_else(
            || wrong.to_string(),
            |sex| format!("{wrong}; did you mean `{sex}`?"),
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_date_in_another_order_is_answered_with_the_date_to_write() {
        for (text, words) in [
            ("01.09.2016", "write 2016-09-01"),
            ("1.9.2016", "write 2016-09-01"),
            ("31/12/2016", "write 2016-12-31"),
            ("12/31/2016", "write 2016-12-31"),
            ("03/04/2016", "write 2016-04-03 or 2016-03-04"),
            ("05/05/2016", "write 2016-05-05"),
            ("2016/9/1", "write 2016-09-01"),
            ("2016-9-1", "write 2016-09-01"),
            ("2016-02-30", "is not a date; write year, month and day"),
            ("yesterday", "is not a date; write year, month and day"),
            ("1.2.3.4", "is not a date; write year, month and day"),
        ] {
            let error = date(text).unwrap_err();
            assert!(error.contains(words), "{text}: {error}");
        }
        assert!(date("2016-09-01").is_ok());
    }

    #[test]
    fn an_age_without_its_unit_or_in_place_of_a_birthday_is_answered_with_what_to_write() {
        for (text, words) in [
            ("8", "did you mean `8y`?"),
            ("7.5", "did you mean `7.5y`?"),
            ("30", "did you mean `30y` or `30 months`?"),
            ("300", "did you mean `300 months`?"),
            ("8y6", "write for example 8y6m"),
            ("2018-03-01", "write it as --born 2018-03-01"),
            ("01.03.2018", "write it as --born 2018-03-01"),
            (
                "2018",
                "is a year, not an age; write the whole day as --born 2018-",
            ),
            ("200y", "allowed 12 to 1200 months"),
            ("eight", "is not an age"),
            ("inf", "is not an age"),
        ] {
            let error = age(text).unwrap_err();
            assert!(error.contains(words), "{text}: {error}");
        }
        approx::assert_abs_diff_eq!(age("8y6m").unwrap().months(), 102.0);
    }

    #[test]
    fn a_unit_that_stands_alone_is_put_back_to_its_figure() {
        use clap::Parser as _;
        let words = ["inseam", "fit", "trail-20", "--height", "122", "cm"];
        let usage = crate::cli::Cli::try_parse_from(words).unwrap_err();
        let told = clean(usage).to_string();
        assert!(told.contains("122cm or \"122 cm\""), "{told}");
    }

    #[test]
    fn the_sex_in_other_words_is_answered_with_the_word_to_write() {
        for (text, meant) in [
            ("f", "girl"),
            ("Female", "girl"),
            ("Girl", "girl"),
            ("m", "boy"),
            ("male", "boy"),
            ("Woman", "woman"),
            ("men", "man"),
        ] {
            let error = sex(text).unwrap_err();
            assert!(
                error.ends_with(&format!("did you mean `{meant}`?")),
                "{error}"
            );
        }
        assert_eq!(
            sex("x").unwrap_err(),
            "found `x`; allowed girl, boy, woman, man"
        );
    }
}
