//! Large text, a magnified page, other colours and fingers: nothing is cut off, covered or lost.
//!
//! The numbers are those of WCAG 2.2 (A and AA); each check names its success criterion. Chromium only where its protocol
//! stands in for a system's setting, since WebDriver has no command for those.

use serde_json::{Value, json};

use crate::bench::in_browser;
use crate::person::Person;

/// What is too wide for the window, and what is cut off; frames of tables scroll by themselves.
const CUT_OFF: &str = "\
const wrong = [];
const page = document.scrollingElement;
if (page.scrollWidth > page.clientWidth) wrong.push(`the page is ${page.scrollWidth} wide in ${page.clientWidth}`);
const name = it => it.id || it.className || it.outerHTML.slice(0, 90);
for (const it of document.querySelectorAll('body *')) {
  if (!it.checkVisibility() || it.closest('.unseen, .skip, .grid-frame, svg')) continue;
  const box = it.getBoundingClientRect();
  if (box.right > innerWidth + 1 || box.left < -1) wrong.push(`${name(it)} reaches from ${box.left} to ${box.right}`);
  const style = getComputedStyle(it);
  const cuts = ['hidden', 'clip'].includes(style.overflowX) || ['hidden', 'clip'].includes(style.overflowY);
  if (cuts && !it.matches('input, select, textarea')
    && (it.scrollWidth > it.clientWidth + 1 || it.scrollHeight > it.clientHeight + 1))
    wrong.push(`${name(it)} is cut off`);
  if (it.matches('button') && it.scrollWidth > it.clientWidth + 1) wrong.push(`${name(it)} holds too much`);
}
return wrong;";

/// Fixed and sticky parts, together, leave room for the rest.
const COVERED: &str = "\
let covered = 0;
for (const it of document.querySelectorAll('body *')) {
  if (['fixed', 'sticky'].includes(getComputedStyle(it).position) && it.checkVisibility() && !it.closest('.grid'))
    covered += it.getBoundingClientRect().height;
}
return covered / innerHeight;";

const OPEN: &str = "document.querySelectorAll('body details').forEach(part => part.open = true)";

async fn check_that_nothing_is_cut_off(person: &Person, when: &str) {
    assert_eq!(person.script(CUT_OFF).await, json!([]), "{when}");
}

/// A page with as much on it as there can be.
async fn fill_the_page(person: &Person) {
    person.unfold("#check-answers").await;
    person.fill("#answer-flux_density", "33200 mT").await;
    person.says("#verdicts", "not right").await;
    person
        .check_a_class(
            "Name,Gradient / g/A,B / mT\nAsha,0.169,33.2\nBen,0.169,33200\n",
            2,
        )
        .await;
    person.unfold("#plan").await;
    person.click("#plan-example").await;
    person.says("#plan-out", "steps").await;
    person.unfold("#practice").await;
    person.unfold("#handout").await;
    person.click("#handout-make").await;
    person.says("#status-text", "The link is made").await;
    person.script(OPEN).await;
}

#[test]
fn large_text_wide_spacing_and_a_magnified_page_lose_nothing() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        fill_the_page(&person).await;
        // 1.4.4: text twice as large, in the window as it is.
        person
            .script("document.documentElement.style.fontSize = '200%'")
            .await;
        check_that_nothing_is_cut_off(&person, "text of twice the size").await;
        person
            .script("document.documentElement.style.fontSize = ''")
            .await;
        // 1.4.10: 1280 × 1024 magnified four times is 320 × 256, and twice is 640 × 512.
        for (width, height) in [(640, 512), (320, 256)] {
            person.look_through(width, height).await;
            check_that_nothing_is_cut_off(&person, &format!("{width} × {height}")).await;
            let covered = person.script(COVERED).await.as_f64().unwrap_or(1.0);
            assert!(covered < 0.6, "{covered} of {width} × {height} is covered");
        }
        // 1.4.12: spacing as somebody may set it, on a phone too.
        person
            .script(
                "const wide = new CSSStyleSheet();
                 wide.replaceSync('* { line-height: 1.5 !important; letter-spacing: 0.12em !important;' +
                   ' word-spacing: 0.16em !important } p { margin-bottom: 2em !important }');
                 document.adoptedStyleSheets = [wide];",
            )
            .await;
        for width in [1280, 320] {
            person.look_through(width, 800).await;
            check_that_nothing_is_cut_off(&person, &format!("wide spacing at {width}")).await;
        }
    });
}

/// 1.4.11: what shows where a field, a list, a tick or a button is, against what it lies on.
const BOUNDARIES: &str = "\
const colour = text => (text.match(/[\\d.]+/g) ?? []).map(Number);
const light = ([r, g, b]) => [r, g, b].map(c => c / 255)
  .map(c => c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4)
  .reduce((sum, c, i) => sum + c * [0.2126, 0.7152, 0.0722][i], 0);
const contrast = (a, b) => { const [x, y] = [light(a), light(b)]; return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05); };
const ground = it => { for (; it; it = it.parentElement) {
  const c = colour(getComputedStyle(it).backgroundColor); if ((c[3] ?? 1) === 1 && c.length) return c; } return [255, 255, 255]; };
const wrong = [];
let looked = 0;
for (const it of document.querySelectorAll('button, .button, select, input[type=text], textarea')) {
  if (!it.checkVisibility() || it.matches('.quiet, .link-like, [aria-disabled], [disabled]')) continue;
  const inTable = it.closest('.grid td');
  if (it.closest('.grid thead')) continue;
  const edge = inTable ? getComputedStyle(inTable) : getComputedStyle(it);
  if (inTable && inTable.parentElement.matches(':last-child, :has(+ .reason-row:last-child), .reason-row')) continue;
  looked += 1;
  const line = colour(edge.borderBottomColor);
  const found = contrast(line, ground((inTable ?? it).parentElement));
  const filled = contrast(ground(it), ground(it.parentElement));
  if (Math.max(found, filled) < 3) wrong.push(`${it.id || it.className || it.tagName}: ${found.toFixed(2)}`);
  // 1.4.3: what stands in an empty field as an example is read as well.
  const hint = getComputedStyle(it, '::placeholder');
  if (it.placeholder) {
    const over = ground(it), ink = colour(hint.color), share = Number(hint.opacity);
    const seen = contrast(ink.slice(0, 3).map((c, i) => over[i] + share * (c - over[i])), over);
    if (seen < 4.5) wrong.push(`example in ${it.id}: ${seen.toFixed(2)}`);
  }
}
return { looked, wrong };";

#[test]
fn fields_and_buttons_show_where_they_are() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        fill_the_page(&person).await;
        for scheme in ["light", "dark"] {
            emulate(&person, "prefers-color-scheme", scheme).await;
            let found = person.script(BOUNDARIES).await;
            assert!(found["looked"].as_u64().unwrap_or(0) > 80, "{found}");
            assert_eq!(found["wrong"], json!([]), "{scheme}");
        }
    });
}

async fn emulate(person: &Person, feature: &str, value: &str) {
    person
        .chromium(
            "Emulation.setEmulatedMedia",
            json!({ "features": [{ "name": feature, "value": value }] }),
        )
        .await;
    person.two_frames().await;
}

/// The colours on a canvas, most frequent first.
const COLOURS: &str = "\
const canvas = document.getElementById(arguments[0]);
const data = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data;
const count = new Map();
for (let at = 0; at < data.length; at += 4) {
  const colour = `${data[at]},${data[at + 1]},${data[at + 2]}`;
  count.set(colour, (count.get(colour) ?? 0) + 1);
}
return [...count].sort((a, b) => b[1] - a[1]).slice(0, 400).map(entry => entry[0]);";

#[test]
fn colours_that_somebody_has_chosen_are_used_on_the_graph_too() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        let graph = || async { person.script_with(COLOURS, vec!["graph".into()]).await };
        let before = graph().await;
        // The best line is blue, as the page has it by itself.
        assert!(before.to_string().contains("0,114,178"), "{before}");
        emulate(&person, "forced-colors", "active").await;
        let system = person
            .script(
                "const probe = document.createElement('p'); document.body.append(probe);
                 const of = name => { probe.style.color = name; return getComputedStyle(probe).color.match(/\\d+/g).join(','); };
                 const found = ['Canvas', 'CanvasText'].map(of); probe.remove(); return found;",
            )
            .await;
        let after = graph().await;
        assert_eq!(after[0], system[0], "the ground of the graph: {after}");
        assert!(
            after.as_array().is_some_and(|all| all.contains(&system[1])),
            "{after}"
        );
        assert!(!after.to_string().contains("0,114,178"), "{after}");

        // What was told by a ground alone is told by a line.
        person.click("#row-4 input[type=checkbox]").await;
        person.click("#notes [data-goto-rows]").await;
        let outline = "return getComputedStyle(document.querySelector('tr.lit > *')).outlineStyle";
        person
            .until("the row to be lit up", async || {
                person.count("tr.lit").await == 1
            })
            .await;
        assert_eq!(person.script(outline).await, "solid");
        person.fill("#length", "long").await;
        person.says("#length-note", "long").await;
        let edge = "return getComputedStyle(document.getElementById('length')).borderTopStyle";
        assert_eq!(person.script(edge).await, "double");
    });
}

#[test]
fn nothing_moves_by_itself() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        emulate(&person, "prefers-reduced-motion", "reduce").await;
        fill_the_page(&person).await;
        assert_eq!(
            person
                .script("return document.getAnimations().length")
                .await,
            0
        );
        let smooth = "return [...document.querySelectorAll('*')].filter(it => getComputedStyle(it).scrollBehavior === 'smooth').length";
        assert_eq!(person.script(smooth).await, 0);
    });
}

/// 2.5.8: a target is at least 24 by 24 CSS pixels, or so far from the others that circles of that size do not meet. A tick
/// or a hidden file field is pressed by its label. Links within a sentence are excepted.
const TARGETS: &str = "\
const all = [...document.querySelectorAll('a[href], button, input, select, textarea, summary, [tabindex=\"0\"]')]
  .filter(it => it.checkVisibility() && !it.closest('.skip') && !it.disabled);
const of = it => {
  const label = it.closest('label') ?? (it.classList.contains('unseen') ? document.querySelector(`label[for=${it.id}]`) : null);
  return (label ?? it).getBoundingClientRect();
};
const targets = all.map(it => ({ name: it.id || it.textContent.slice(0, 40) || it.className || it.parentElement.className, box: of(it) }));
const small = targets.filter(({ box }) => box.width < 23.9 || box.height < 23.9);
const middle = box => [(box.left + box.right) / 2, (box.top + box.bottom) / 2];
const wrong = small.filter(it => targets.some(other => {
  if (other === it) return false;
  const [x, y] = middle(it.box);
  const dx = Math.max(other.box.left - x, 0, x - other.box.right), dy = Math.max(other.box.top - y, 0, y - other.box.bottom);
  return Math.hypot(dx, dy) < 12;
}));
return { looked: targets.length, wrong: wrong.map(({ name, box }) => `${name}: ${box.width} by ${box.height}`),
  low: targets.filter(({ box }) => box.height < 43.9).map(({ name, box }) => `${name}: ${box.height}`) };";

#[test]
fn everything_is_large_enough_for_a_finger() {
    in_browser(async |bench| {
        let person = bench.newcomer().await;
        person.look_through(360, 800).await;
        person
            .chromium(
                "Emulation.setTouchEmulationEnabled",
                json!({ "enabled": true }),
            )
            .await;
        person.open(&bench.page()).await;
        fill_the_page(&person).await;
        person.click("#row-4 input[type=checkbox]").await;
        let found = person.script(TARGETS).await;
        assert!(found["looked"].as_u64().unwrap_or(0) > 120, "{found}");
        assert_eq!(found["wrong"], json!([]));
        // A finger is wider than a pointer: what is pressed rather than read in passing is 44 high on such a screen.
        assert_eq!(
            person
                .script("return matchMedia('(pointer: coarse)').matches")
                .await,
            true
        );
        assert_eq!(found["low"], json!([]));
    });
}

/// The accessible name and description that Chromium makes of an element.
async fn heard(person: &Person, css: &str) -> (String, String) {
    let document = person.chromium("DOM.getDocument", json!({})).await;
    let node = person
        .chromium(
            "DOM.querySelector",
            json!({ "nodeId": document["root"]["nodeId"], "selector": css }),
        )
        .await;
    let tree = person
        .chromium(
            "Accessibility.getPartialAXTree",
            json!({ "nodeId": node["nodeId"], "fetchRelatives": false }),
        )
        .await;
    let text = |of: &str| {
        tree["nodes"][0][of]["value"]
            .as_str()
            .unwrap_or_default()
            .to_owned()
    };
    (text("name"), text("description"))
}

#[test]
fn what_is_heard_of_the_graph_the_figures_and_the_fields() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        let (name, description) = heard(&person, "#graph").await;
        assert!(
            name.starts_with("Graph: ") && name.contains("against current"),
            "{name}"
        );
        assert_eq!(
            description,
            person
                .script("return document.getElementById('graph-description').textContent")
                .await
        );
        assert!(description.contains("change sides"), "{description}");
        let (figure, _) = heard(&person, "#figures summary").await;
        assert!(
            !figure.contains(['▸', '▾']) && figure.contains(' '),
            "{figure}"
        );
        let (save, _) = heard(&person, "#save-svg").await;
        assert_eq!(save, "Graph .svg");

        // An error belongs to its field.
        person.fill("#length", "long").await;
        person.says("#length-note", "long").await;
        let (_, said) = heard(&person, "#length").await;
        assert!(said.contains("long"), "{said}");
        assert_eq!(person.count("#length[aria-invalid=true]").await, 1);
        person.unfold("#check-answers").await;
        person.fill("#answer-gradient", "steep").await;
        person.says("#verdicts", "steep").await;
        let (_, said) = heard(&person, "#answer-gradient").await;
        assert!(said.contains("steep"), "{said}");
        assert_eq!(person.count("#answer-gradient[aria-invalid=true]").await, 1);
    });
}

/// What changes is told once it is finished, not at every letter.
#[test]
fn the_graph_is_told_when_something_was_finished() {
    in_browser(async |bench| {
        let person = bench.visitor().await;
        person
            .script(
                "window.heard = [];
                 new MutationObserver(() => window.heard.push(document.getElementById('graph-news').textContent))
                   .observe(document.getElementById('graph-news'), { childList: true, characterData: true, subtree: true });",
            )
            .await;
        let so_far = || async { person.script("return window.heard").await };
        person.click("#cell-3-2").await;
        let line = person.text("#equation").await;
        person.press("0.271828").await;
        person.text_when("#equation", |now| now != line).await;
        assert_eq!(so_far().await, json!([]), "while it is being typed");
        person.press("\u{e007}").await;
        person
            .until("the news", async || so_far().await != json!([]))
            .await;
        let Value::Array(heard) = so_far().await else {
            panic!("no news");
        };
        assert_eq!(heard.len(), 1, "{heard:?}");
        let told = heard[0].as_str().unwrap_or_default();
        assert!(
            told.starts_with("B = (") && told.contains("Graph: 8 points, m = ("),
            "{told}"
        );
    });
}
