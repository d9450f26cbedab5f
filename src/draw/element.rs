//! One element of a picture: its name, its attributes and what stands in it, kept as the XML that they are.
//! The only module that names the writer of XML. Which strokes there are is `pen`, what a page holds is `page`.

use std::fmt;

use quick_xml::escape::partial_escape;
use quick_xml::events::BytesStart;

/// An element under construction. Values and texts are escaped as they come.
#[derive(Debug, Clone)]
pub(super) struct Element {
    tag: BytesStart<'static>,
    inside: String,
}

impl Element {
    /// An element without attributes and with nothing in it.
    pub(super) fn new(name: &'static str) -> Self {
        Self {
            tag: BytesStart::new(name),
            inside: String::new(),
        }
    }

    /// With one attribute more; nobody gives one twice.
    pub(super) fn set(mut self, key: &str, value: impl AsRef<str>) -> Self {
        self.tag.push_attribute((key, value.as_ref()));
        self
    }

    /// With a text in it, and no line end that the text does not have.
    pub(super) fn text(mut self, text: &str) -> Self {
        self.inside.push_str(&partial_escape(text));
        self
    }

    /// With XML on lines of its own: the palette's or the charts' library's, never a user's words.
    pub(super) fn markup(mut self, xml: &str) -> Self {
        self.inside.push('\n');
        self.inside.push_str(xml);
        self
    }

    /// With an element more in it, behind the others.
    #[expect(
        clippy::needless_pass_by_value,
        reason = "what is drawn for one place is put there, and chains read as drawings"
    )]
    pub(super) fn add(mut self, child: Self) -> Self {
        self.append(&child);
        self
    }

    /// Puts an element more into it, behind the others.
    pub(super) fn append(&mut self, child: &Self) {
        self.inside.push('\n');
        child.put(&mut self.inside);
    }

    fn put(&self, xml: &mut String) {
        xml.push('<');
        xml.push_str(&self.tag);
        if self.inside.is_empty() {
            xml.push_str("/>");
            return;
        }
        xml.push('>');
        xml.push_str(&self.inside);
        if self.inside.starts_with('\n') {
            xml.push('\n');
        }
        xml.push_str("</");
        xml.push_str(&self.tag.to_end());
        xml.push('>');
    }
}

impl fmt::Display for Element {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut xml = String::with_capacity(self.inside.len());
        self.put(&mut xml);
        f.write_str(&xml)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Read back by a parser of another hand.
    #[test]
    fn values_and_texts_come_back_as_they_were_given() {
        let odd = "a<b> & \"c\" 'd'";
        let drawn = Element::new("g")
            .set("class", odd)
            .add(Element::new("text").text(odd))
            .markup("<path d=\"M0 0\"/>")
            .add(Element::new("line"))
            .to_string();
        let document = roxmltree::Document::parse(&drawn).unwrap();
        let group = document.root_element();
        assert_eq!(group.attribute("class"), Some(odd));
        let inside: Vec<_> = group
            .children()
            .filter(roxmltree::Node::is_element)
            .collect();
        let names: Vec<_> = inside.iter().map(|node| node.tag_name().name()).collect();
        assert_eq!(names, ["text", "path", "line"]);
        assert_eq!(inside[0].text(), Some(odd));
    }

    #[test]
    fn an_element_with_nothing_in_it_is_one_tag() {
        assert_eq!(
            Element::new("g").set("class", "a").to_string(),
            "<g class=\"a\"/>"
        );
    }
}
