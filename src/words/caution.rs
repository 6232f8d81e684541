//! What to be careful with, in words.

use super::t;
use trimwright::diary::Caution;

/// What it is called.
pub(crate) fn name(caution: Caution) -> String {
    t!(match caution {
        Caution::Lithium => "caution.lithium",
        Caution::Mains => "caution.mains",
        Caution::Lead => "caution.lead",
        Caution::Alone => "caution.alone",
        Caution::GoingIn => "caution.going_in",
        Caution::Lifting => "caution.lifting",
        Caution::Cutting => "caution.cutting",
        Caution::Adhesives => "caution.adhesives",
    })
}

/// What to do, a sentence or two each.
pub(crate) fn lines(caution: Caution) -> Vec<String> {
    let keys: &[&str] = match caution {
        Caution::Lithium => &[
            "caution.lithium_1",
            "caution.lithium_2",
            "caution.lithium_3",
            "caution.lithium_4",
            "caution.lithium_5",
        ],
        Caution::Mains => {
            &["caution.mains_1", "caution.mains_2", "caution.mains_3", "caution.mains_4"]
        }
        Caution::Lead => &[
            "caution.lead_1",
            "caution.lead_2",
            "caution.lead_3",
            "caution.lead_4",
            "caution.lead_5",
        ],
        Caution::Alone => &["caution.alone_1", "caution.alone_2", "caution.alone_3"],
        Caution::GoingIn => &[
            "caution.going_in_1",
            "caution.going_in_2",
            "caution.going_in_3",
            "caution.going_in_4",
        ],
        Caution::Lifting => &["caution.lifting_1", "caution.lifting_2"],
        Caution::Cutting => {
            &["caution.cutting_1", "caution.cutting_2", "caution.cutting_3", "caution.cutting_4"]
        }
        Caution::Adhesives => {
            &["caution.adhesives_1", "caution.adhesives_2", "caution.adhesives_3"]
        }
    };
    keys.iter().map(|key| t!(key)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_caution_says_what_to_do_in_sentences() {
        for caution in Caution::ALL {
            let lines = lines(caution);
            assert!(lines.len() >= 2, "{caution:?} says what to do");
            assert!(
                lines.iter().all(|line| line.ends_with('.')),
                "{caution:?} speaks in sentences"
            );
            assert!(!name(caution).contains('.'), "{caution:?} is called something");
        }
        let all = Caution::ALL.map(|c| lines(c).join(" ")).join(" ");
        for word in
            ["residual-current", "swollen", "outdoors", "Wash your hands", "no dust", "pole"]
        {
            assert!(all.contains(word), "nothing is said of {word}");
        }
    }
}
