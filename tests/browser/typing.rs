//! What cannot be read as a number is told beside its field and stays as it was typed.

use crate::driver::{FOLDER, on_a_phone, picture};
use crate::expected::{Entry, demo_answer};
use crate::page::Seen;

#[tokio::test(flavor = "multi_thread")]
async fn bad_input_is_told_beside_its_field_and_stays() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.see("answer").await?;
        for field in ["mark-bow-value", "list-value", "trim-value"] {
            let before = page.see(field).await?.value;
            let error = format!("{field}-error");
            for (typed, words) in [("abc", "not a number"), ("1.2.3", "two ways")] {
                page.fill(field, typed).await?;
                page.see_words(&error, words).await?;
                let keeps = |seen: &Seen| seen.value == typed;
                page.see_that(field, &format!("keeps {typed}"), keeps).await?;
                let invalid = |seen: &Seen| {
                    seen.attributes.get("aria-invalid").is_some_and(|value| value == "true")
                };
                page.see_that(field, "is told to screen readers as wrong", invalid).await?;
            }
            picture(&page.driver, &format!("typing-bad-{field}")).await?;
            page.reload().await?;
            page.see_words(&error, "two ways").await?;
            assert_eq!(page.see(field).await?.value, "1.2.3", "{field} after a reload");
            page.fill(field, &before).await?;
            page.see_no(&error).await?;
        }
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_typed_minus_at_a_mark_is_below_it() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.enter_mark("bow", None).await?;
        page.fill("mark-bow-value", "-6").await?;
        page.see_words("mark-bow-side", "below").await?;
        let entry = Entry {
            marks: vec![("stern", 3.0), ("bow", -6.0)],
            list: Some(1.5),
            ..Entry::default()
        };
        page.fill("list-value", "1.5").await?;
        page.enter_mark("stern", Some(3.0)).await?;
        page.see_answer(&demo_answer(&entry)).await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_comma_divides_the_decimals() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        let entry = Entry {
            marks: vec![("stern", 5.0), ("bow", -8.5)],
            list: Some(1.5),
            ..Entry::default()
        };
        page.enter(&entry).await?;
        page.fill("list-value", "1,5").await?;
        page.fill("mark-bow-value", "8,5").await?;
        page.see_no("list-value-error").await?;
        page.see_no("mark-bow-value-error").await?;
        page.see_answer(&demo_answer(&entry)).await?;
        assert_eq!(page.see("list-value").await?.value, "1,5", "it stays as it was typed");
        Ok(())
    })
    .await;
}
