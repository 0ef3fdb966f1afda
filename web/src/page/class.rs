//! A whole class: the pasted answers, each student's verdicts, the class in a few sentences, and a plot of the values of B.

use wasm_bindgen::JsValue;
use web_sys::{Document, Element, HtmlTextAreaElement};
use yokeline_core::check::class::Class;

use super::class_words::{self, Dot};
use super::elements::{Shown, add, find, set_area, set_text, show};
use super::state::State;
use super::words::millitesla;

/// The class's part of the page.
pub struct ClassPart {
    field: HtmlTextAreaElement,
    out: Element,
    progress: Element,
    sum: Element,
    head: Element,
    body: Element,
    plot: Element,
    shown: Class,
}

impl ClassPart {
    /// The part, in the document as it stands.
    pub fn find(document: &Document) -> Result<Self, JsValue> {
        Ok(ClassPart {
            field: find(document, "class-box")?,
            out: find(document, "class-out")?,
            progress: find(document, "class-progress")?,
            sum: find(document, "class-sum")?,
            head: find(document, "class-head")?,
            body: find(document, "class-body")?,
            plot: find(document, "class-plot")?,
            shown: Class::default(),
        })
    }

    /// Shows the class, when it has changed.
    pub fn show(&mut self, document: &Document, state: &State) -> Shown {
        set_area(&self.field, state.class_text());
        let progress = state
            .checking()
            .map(|(done, left)| format!("Checked {done} of {} rows…", done + left));
        set_text(&self.progress, progress.as_deref().unwrap_or_default());
        let class = state.class();
        // What is still being checked is shown when all of it is there.
        if progress.is_some() || *class == self.shown {
            return Ok(());
        }
        show(&self.out, *class != Class::default())?;
        self.sum.set_text_content(None);
        for line in class_words::sum(class) {
            add(document, &self.sum, "p", "", &line)?;
        }
        self.show_table(document, class)?;
        self.show_plot(document, class)?;
        self.shown = class.clone();
        Ok(())
    }

    fn show_table(&self, document: &Document, class: &Class) -> Shown {
        let stages = class_words::stages(class);
        self.head.set_text_content(None);
        let row = add(document, &self.head, "tr", "", "")?;
        add(document, &row, "th", "", "Name")?.set_attribute("scope", "col")?;
        let with_groups = class_words::with_groups(class);
        if with_groups {
            add(document, &row, "th", "", "Group")?.set_attribute("scope", "col")?;
        }
        for (_, heading) in &stages {
            add(document, &row, "th", "", heading)?.set_attribute("scope", "col")?;
            add(document, &row, "th", "", "verdict")?.set_attribute("scope", "col")?;
        }
        self.body.set_text_content(None);
        for student in &class.students {
            let row = add(document, &self.body, "tr", "", "")?;
            add(document, &row, "th", "", &student.name)?.set_attribute("scope", "row")?;
            if with_groups {
                add(document, &row, "td", "", &student.group)?;
            }
            for (stage, _) in &stages {
                add(document, &row, "td", "", student.answers.at(*stage))?;
                add(
                    document,
                    &row,
                    "td",
                    "",
                    &class_words::verdict(student, *stage),
                )?;
            }
        }
        Ok(())
    }

    fn show_plot(&self, document: &Document, class: &Class) -> Shown {
        self.plot.set_text_content(None);
        let Some((dots, low, high)) = class_words::dots(class) else {
            return Ok(());
        };
        let said = format!(
            "Values of B from {} to {}, in increasing order; the table above has each of them. A hollow dot lies \
             beyond its end of the scale.",
            millitesla(low),
            millitesla(high)
        );
        let picture = in_svg(document, &self.plot, "svg")?;
        let height = 4 * dots.len() + 4;
        picture.set_attribute("viewBox", &format!("-2 0 104 {height}"))?;
        picture.set_attribute("role", "img")?;
        picture.set_attribute("aria-label", &said)?;
        for at in ["0", "50", "100"] {
            let line = in_svg(document, &picture, "line")?;
            for (name, value) in [("x1", at), ("x2", at), ("y1", "0"), ("class", "rule")] {
                line.set_attribute(name, value)?;
            }
            line.set_attribute("y2", &height.to_string())?;
        }
        for (place, dot) in dots.iter().enumerate() {
            draw(document, &picture, dot, 4 * place + 4)?;
        }
        add(document, &self.plot, "p", "hint", &said)?;
        Ok(())
    }
}

fn in_svg(document: &Document, parent: &Element, name: &str) -> Result<Element, JsValue> {
    let element = document.create_element_ns(Some("http://www.w3.org/2000/svg"), name)?;
    parent.append_child(&element)?;
    Ok(element)
}

fn draw(document: &Document, picture: &Element, dot: &Dot, y: usize) -> Shown {
    let y = y.to_string();
    if let Some((from, to)) = dot.bar {
        let bar = in_svg(document, picture, "line")?;
        for (name, value) in [("x1", from), ("x2", to)] {
            bar.set_attribute(name, &format!("{value:.2}"))?;
        }
        for (name, value) in [("y1", &y), ("y2", &y)] {
            bar.set_attribute(name, value)?;
        }
        bar.set_attribute("class", "bar")?;
    }
    // What lies beyond the end is hollow.
    let mark = in_svg(document, picture, "circle")?;
    mark.set_attribute("cx", &format!("{:.2}", dot.at))?;
    mark.set_attribute("cy", &y)?;
    mark.set_attribute("r", "1.2")?;
    mark.set_attribute("class", if dot.beyond { "beyond" } else { "dot" })?;
    let title = in_svg(document, &mark, "title")?;
    title.set_text_content(Some(&dot.name));
    Ok(())
}
