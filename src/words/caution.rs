//! What to be careful with, in words.

use super::t;
use crate::words::{Word, word};
use trimwright::diary::Caution;

/// Its name.
pub(crate) fn name(caution: Caution) -> String {
    t!(match caution {
        Caution::Lithium => word!("caution.lithium"),
        Caution::Mains => word!("caution.mains"),
        Caution::Lead => word!("caution.lead"),
        Caution::Alone => word!("caution.alone"),
        Caution::GoingIn => word!("caution.going_in"),
        Caution::Lifting => word!("caution.lifting"),
        Caution::Cutting => word!("caution.cutting"),
        Caution::Adhesives => word!("caution.adhesives"),
    })
}

/// What to do, a sentence or two each.
pub(crate) fn lines(caution: Caution) -> Vec<String> {
    let keys: &[Word] = match caution {
        Caution::Lithium => &[
            word!("caution.lithium_1"),
            word!("caution.lithium_2"),
            word!("caution.lithium_3"),
            word!("caution.lithium_4"),
            word!("caution.lithium_5"),
        ],
        Caution::Mains => &[
            word!("caution.mains_1"),
            word!("caution.mains_2"),
            word!("caution.mains_3"),
            word!("caution.mains_4"),
        ],
        Caution::Lead => &[
            word!("caution.lead_1"),
            word!("caution.lead_2"),
            word!("caution.lead_3"),
            word!("caution.lead_4"),
            word!("caution.lead_5"),
        ],
        Caution::Alone => {
            &[word!("caution.alone_1"), word!("caution.alone_2"), word!("caution.alone_3")]
        }
        Caution::GoingIn => &[
            word!("caution.going_in_1"),
            word!("caution.going_in_2"),
            word!("caution.going_in_3"),
            word!("caution.going_in_4"),
        ],
        Caution::Lifting => &[word!("caution.lifting_1"), word!("caution.lifting_2")],
        Caution::Cutting => &[
            word!("caution.cutting_1"),
            word!("caution.cutting_2"),
            word!("caution.cutting_3"),
            word!("caution.cutting_4"),
        ],
        Caution::Adhesives => &[
            word!("caution.adhesives_1"),
            word!("caution.adhesives_2"),
            word!("caution.adhesives_3"),
        ],
    };
    keys.iter().map(|key| t!(*key)).collect()
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
