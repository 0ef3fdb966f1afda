//! The whole job with the keyboard alone: at every step something has the focus, it can be seen, and it comes in order.

use fantoccini::key::Key;
use serde_json::Value;

use crate::bench::in_browser;
use crate::person::{Person, file_address};

/// What is wrong with the focus, in a sentence; empty when all is well. Contrast of the outline with what it lies on: WCAG
/// 2.2, success criterion 1.4.11 (3 : 1), formula under "contrast ratio"; nothing may lie over it: criterion 2.4.11.
const WRONG_WITH_THE_FOCUS: &str = "\
const it = document.activeElement;
if (!it || it === document.body || it === document.documentElement) { return 'nothing has the focus'; }
const name = it.id || it.outerHTML.slice(0, 120);
const shown = it.classList.contains('unseen') ? it.previousElementSibling : it;
const colour = text => (text.match(/[\\d.]+/g) ?? []).map(Number);
const light = ([r, g, b]) => [r, g, b].map(c => c / 255)
  .map(c => c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4)
  .reduce((sum, c, i) => sum + c * [0.2126, 0.7152, 0.0722][i], 0);
const style = getComputedStyle(shown);
if (style.outlineStyle === 'none' || parseFloat(style.outlineWidth) < 2) { return name + ' shows no outline'; }
let below = parseFloat(style.outlineOffset) < 0 ? shown : shown.parentElement;
const opaque = element => { const [, , , a = 1] = colour(getComputedStyle(element).backgroundColor); return a === 1; };
while (below.parentElement && !opaque(below)) { below = below.parentElement; }
const pair = [style.outlineColor, getComputedStyle(below).backgroundColor].map(text => light(colour(text)));
const contrast = (Math.max(...pair) + 0.05) / (Math.min(...pair) + 0.05);
if (contrast < 3) { return `${name}: the outline has a contrast of ${contrast.toFixed(2)}`; }
const box = shown.getBoundingClientRect();
if (box.width < 1 || box.height < 1) { return name + ' has no size'; }
const hits = [];
for (const down of [0.1, 0.3, 0.5, 0.7, 0.9]) for (const along of [0.1, 0.5, 0.9]) {
  const top = document.elementFromPoint(box.left + box.width * along, box.top + box.height * down);
  hits.push(top !== null && (top === shown || shown.contains(top) || top.contains(shown)));
}
if (!hits.includes(true)) { return `${name} is hidden: ${JSON.stringify(box)}`; }
return '';";

/// Where the focused element comes in the document, so that order can be compared.
const STEP: &str = "\
const it = document.activeElement;
const all = [...document.querySelectorAll('*')];
return [all.indexOf(it), it.id || it.outerHTML.slice(0, 120)];";

async fn check_the_focus(person: &Person, when: &str) {
    let mut wrong = person.script(WRONG_WITH_THE_FOCUS).await;
    // Some browsers scroll to what was entered a few frames later.
    for _ in 0..20 {
        if wrong == "" {
            return;
        }
        person.two_frames().await;
        wrong = person.script(WRONG_WITH_THE_FOCUS).await;
    }
    panic!("{when}: {wrong}");
}

/// Tab until an element has the focus; what is passed on the way is looked at too.
async fn tab_to(person: &Person, css: &str) {
    for _ in 0..160 {
        person.press_times(Key::Tab, 1).await;
        check_the_focus(person, &format!("on the way to {css}")).await;
        if person.count(&format!("{css}:focus")).await == 1 {
            return;
        }
    }
    panic!("{css} is not reached with Tab; {} is", person.focus().await);
}

/// Goes past the table, whose cells are many.
async fn leave_the_table(person: &Person) {
    person.chord(&[Key::Control.into(), Key::End.into()]).await;
}

#[test]
fn from_the_skip_link_to_the_saved_sheet_without_a_mouse() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        tab_to(&person, ".skip").await;
        person.press_times(Key::Enter, 1).await;
        assert_eq!(person.focus().await, "table-part");

        // The example makes room, and the table is typed cell by cell.
        tab_to(&person, "#empty-table").await;
        person.press_times(Key::Enter, 1).await;
        check_the_focus(&person, "in an empty table").await;
        assert_eq!(person.focus().await, "cell-1-1");
        for (current, reading) in [
            ("0.5", "0.08"),
            ("1.0", "0.17"),
            ("1.5", "0.25"),
            ("2.0", "0.99"),
            ("2.5", "0.43"),
            ("3.0", "0.51"),
        ] {
            person.press(current).await;
            person.press_times(Key::Tab, 1).await;
            person.press(reading).await;
            person.press_times(Key::Enter, 1).await;
            person.press_times(Key::Home, 1).await;
            check_the_focus(&person, "typing the table").await;
        }
        assert_eq!(person.value("#cell-6-2").await, "0.51");

        leave_the_table(&person).await;
        tab_to(&person, "#length").await;
        person.press("5.0 cm").await;
        person.press_times(Key::Tab, 1).await;
        let b = person.says("#answer-value", "mT").await;
        let news = person.says("#graph-news", &b).await;
        assert!(news.contains("6 points"), "{news}");

        // Back up to the fourth row, which is left out with a reason, and undone.
        person.chord(&[Key::Shift.into(), Key::Tab.into()]).await;
        assert_eq!(person.focus().await, "length");
        while !person.focus().await.starts_with("cell-") {
            person.chord(&[Key::Shift.into(), Key::Tab.into()]).await;
            check_the_focus(&person, "backwards into the table").await;
        }
        person.chord(&[Key::Control.into(), Key::Home.into()]).await;
        person.press_times(Key::Down, 3).await;
        person.press_times(Key::Left, 1).await;
        check_the_focus(&person, "on a tick").await;
        person.press(" ").await;
        person.says("#notes", "Row 4 is left out of the line").await;
        person.press_times(Key::Right, 1).await;
        person.press_times(Key::End, 1).await;
        person.press_times(Key::Tab, 1).await;
        check_the_focus(&person, "on a reason").await;
        person.press("the lead was loose").await;
        // What had the focus goes away with what is undone.
        person.press_times(Key::Enter, 1).await;
        person.says("#notes", "the lead was loose").await;
        person.press_times(Key::Right, 1).await;
        person.press_times(Key::End, 1).await;
        person.press_times(Key::Tab, 1).await;
        for _ in 0..2 {
            person.chord(&[Key::Control.into(), 'z']).await;
            check_the_focus(&person, "after undoing").await;
        }
        assert_eq!(person.count(".left-out").await, 0);

        tab_to(&person, "#more-line > summary").await;
        person.press_times(Key::Enter, 1).await;
        tab_to(&person, "#fit").await;
        let fitted = person.text("#equation").await;
        person.press("f").await;
        person.text_when("#equation", |now| now != fitted).await;
        assert_eq!(person.value("#fit").await, "through_origin");

        tab_to(&person, "#save-sheet").await;
        tab_to(&person, "#check-answers > summary").await;
        person.press_times(Key::Enter, 1).await;
        tab_to(&person, "#answer-flux_density").await;
        person.press("33200 mT").await;
        person.press_times(Key::Tab, 1).await;
        let heard = person.says("#verdict-news", "B: ").await;
        assert!(heard.contains("right"), "{heard}");
        while person.focus().await != "save-sheet" {
            person.chord(&[Key::Shift.into(), Key::Tab.into()]).await;
            check_the_focus(&person, "back to the sheet").await;
        }
        let sheet = person
            .save_by(async || person.press_times(Key::Enter, 1).await)
            .await;
        check_the_focus(&person, "after saving").await;
        person.go(&file_address(&sheet)).await;
        assert!(person.text("main").await.contains("0.99"));
    });
}

/// From the top to the end with Tab alone: no trap, in the order of the document, visible and not covered, on a desk and
/// in a narrow window where the bar with the result stays in view.
#[test]
fn tab_walks_through_the_whole_page_in_order() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        for (width, height) in [(1280, 900), (600, 700)] {
            person.size(width, height).await;
            person.open(&bench.page()).await;
            person
                .script(
                    "document.querySelectorAll('body details').forEach(part => part.open = true)",
                )
                .await;
            let mut last = -1;
            let mut seen = 0;
            loop {
                person.press_times(Key::Tab, 1).await;
                let Value::Array(step) = person.script(STEP).await else {
                    panic!("no place in the document");
                };
                let (place, name) = (step[0].as_i64().unwrap_or(-1), &step[1]);
                if place <= last {
                    // Round again, or out of the page.
                    assert!(
                        person.focus().await.is_empty(),
                        "after {seen} steps back at {name}"
                    );
                    break;
                }
                let at = format!("{width} px, step {seen}");
                check_the_focus(&person, &at).await;
                (last, seen) = (place, seen + 1);
                assert!(seen < 400, "there is no end to it at {name}");
            }
            assert!(seen > 120, "only {seen} places");
            let all = person
                .script("return document.querySelectorAll('*').length")
                .await;
            assert!(last < all.as_i64().unwrap_or(0));
        }
    });
}

/// Every command there is, pressed with the keyboard where it can be: whatever it takes away, the focus stays on something.
#[test]
fn no_command_loses_the_focus() {
    in_browser(async |bench| {
        let person = bench.newcomer().await;
        person.go(&bench.page()).await;
        let all = person
            .script(
                "return [...new Set([...document.querySelectorAll('[data-do][id]')].map(b => b.id))]",
            )
            .await;
        let all: Vec<String> = serde_json::from_value(all).expect("the ids of all buttons");
        assert!(all.len() > 30, "{all:?}");
        let mut pressed = 0;
        for id in &all {
            set_the_stage(&person, &bench.page(), id).await;
            let can = person
                .script_with(
                    "const it = document.getElementById(arguments[0]);
                     for (let fold = it.closest('details'); fold; fold = fold.parentElement.closest('details')) fold.open = true;
                     if (!it.checkVisibility() || it.disabled) return false;
                     window.print = () => {};
                     it.focus();
                     return document.activeElement === it;",
                    vec![id.clone().into()],
                )
                .await;
            if can == false {
                assert!(
                    [
                        "task-open",
                        "rows-first",
                        "rows-back",
                        "rows-on",
                        "rows-last"
                    ]
                    .contains(&id.as_str()),
                    "{id} cannot be pressed"
                );
                continue;
            }
            person.press_times(Key::Enter, 1).await;
            // A frame later the browser has taken the focus from what is hidden.
            person.two_frames().await;
            let left = person
                .script("return document.activeElement?.tagName ?? ''")
                .await;
            assert!(
                !["BODY", "HTML", ""].contains(&left.as_str().unwrap_or_default()),
                "{id} loses the focus"
            );
            pressed += 1;
        }
        assert!(pressed >= all.len() - 5);
    });
}

/// A state in which a button is there to be pressed.
async fn set_the_stage(person: &Person, page: &str, button: &str) {
    person.go("about:blank").await;
    person.open(page).await;
    // What the command before has done to the table is not kept.
    person.click("#forget").await;
    match button {
        "status-close" => person.paste_on_the_page("a poem").await,
        "status-action" => {
            person
                .paste_on_the_page("I / A\tm / g\n1.0\t0.16\n1.0\t0.17\n1.0\t0.18")
                .await
        }
        "take-other" | "keep-mine" => {
            let here = person.window().await;
            let there = person.new_window().await;
            person.enter_window(&there).await;
            person.open(page).await;
            person.fill("#length", "6.5 cm").await;
            person.enter_window(&here).await;
            person
                .until("the other tab's job to be heard of", async || {
                    person.count("#rival:not([hidden])").await == 1
                })
                .await;
        }
        "simulate" => person.fill("#length_uncertainty", "1 mm").await,
        "class-csv" | "class-print" => {
            person.check_a_class("Name,B / mT\nAsha,33.2\n", 1).await;
        }
        "plan-use" | "plan-print" => {
            person.unfold("#plan").await;
            person.fill("#plan-length", "4.0 cm").await;
        }
        name if name.starts_with("handout-") && name != "handout-make" => {
            person.unfold("#practice").await;
            person.unfold("#handout").await;
            person.click("#handout-make").await;
        }
        _ => {}
    }
}

/// A message that is closed gives the focus back to where it was before.
#[test]
fn a_closed_message_gives_the_focus_back() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        person.click("#cell-3-2").await;
        person.paste_on_the_page("a poem").await;
        person.says("#status-text", "No readings found").await;
        person
            .script("document.getElementById('status-close').focus()")
            .await;
        person.press_times(Key::Enter, 1).await;
        person
            .until("the message to go", async || {
                person.count("#status.shown").await == 0
            })
            .await;
        assert_eq!(person.focus().await, "cell-3-2");
    });
}
