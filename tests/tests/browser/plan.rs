//! Before the lesson: a technician types the kit, looks at what comes of it, and it carries over to the readings.

use crate::bench::in_browser;

#[test]
fn a_plan_says_what_to_expect_and_stands_beside_the_result_later() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        person.unfold("#plan").await;
        person.unfold("#plan-wire").await;
        // 50 mT on 4.0 cm give N B L / g = 0.2039 g/A: at 4 A a balance of 0.1 g shows 0.8 g, eight steps of it.
        for (field, text) in [
            ("flux_density", "50 mT"),
            ("length", "4.0 cm"),
            ("length_uncertainty", "1 mm"),
            ("current_range", "1 A to 4 A"),
            ("steps", "4"),
            ("balance_resolution", "0.1 g"),
            ("wire.diameter", "0.71 mm"),
        ] {
            person.fill(&format!("[id='plan-{field}']"), text).await;
        }
        let coarse = person.says("#plan-out", "6 steps of the balance").await;
        assert!(coarse.contains("Supply and warmth"), "{coarse}");
        assert!(
            coarse.contains("Switch on only to take a reading"),
            "{coarse}"
        );
        person
            .fill("[id='plan-balance_resolution']", "0.01 g")
            .await;
        person.says("#plan-out", "the line will show").await;
        person.fill("[id='plan-wire.diameter']", "thick").await;
        person.says("#plan-notes", "thick").await;
        person.says("#plan-out", "the line will show").await;

        person.click("#plan-use").await;
        person
            .says("#status-text", "The set-up stands under Apparatus")
            .await;
        assert_eq!(person.value("#length").await, "4.0 cm");
        let mut currents = Vec::new();
        for row in 1..=4 {
            currents.push(person.value(&format!("#cell-{row}-1")).await);
        }
        for (row, current) in (1..).zip(&currents) {
            let current: f64 = current.parse().expect("a current");
            let reading = format!("{:.2}", 0.204 * current);
            person.fill(&format!("#cell-{row}-2"), &reading).await;
        }
        person.says("#plan-beside", "about as planned").await;
        currents.sort_unstable();
        assert_eq!(currents, ["1.00", "2.00", "3.00", "4.00"]);

        person
            .until("the plan to be kept", async || {
                let kept = person
                    .script("return localStorage.getItem('yokeline.plan')")
                    .await;
                kept.as_str().is_some_and(|text| text.contains("thick"))
            })
            .await;
        person.reload().await;
        assert_eq!(person.value("[id='plan-flux_density']").await, "50 mT");
        person.says("#plan-beside", "about as planned").await;
        person.click("#forget").await;
        person.says("#status-text", "Forgotten").await;
        assert_eq!(person.value("[id='plan-flux_density']").await, "");
        assert_eq!(person.text("#plan-out").await, "");
        assert_eq!(person.text("#plan-beside").await, "");
    });
}
