//! The pull parser with the namespaces of the elements it stands in, and a way past text that was read without it.

use std::io::BufRead as _;

use quick_xml::Reader;
use quick_xml::events::Event;
use quick_xml::name::NamespaceResolver;

/// A document being read.
pub(super) struct Source<'t> {
    text: &'t str,
    reader: Reader<&'t [u8]>,
    names: NamespaceResolver,
    /// Whether the last event closed an element, whose names end with the next one.
    leaving: bool,
}

impl<'t> Source<'t> {
    /// From the beginning.
    pub(super) fn new(text: &'t str) -> Self {
        let mut reader = Reader::from_str(text);
        reader.config_mut().check_comments = true;
        Self { text, reader, names: NamespaceResolver::default(), leaving: false }
    }

    /// The byte that is read next.
    pub(super) fn at(&self) -> usize {
        usize::try_from(self.reader.buffer_position()).unwrap_or(usize::MAX)
    }

    /// The next event.
    ///
    /// # Errors
    /// The document is not well-formed there.
    pub(super) fn event(&mut self) -> Result<Event<'t>, quick_xml::Error> {
        if self.leaving {
            self.names.pop();
            self.leaving = false;
        }
        let event = self.reader.read_event()?;
        if let Event::Start(start) | Event::Empty(start) = &event {
            self.names.push(start)?;
        }
        self.leaving = matches!(event, Event::Empty(_) | Event::End(_));
        Ok(event)
    }

    /// Names as they are bound where the last event stands.
    pub(super) const fn names(&self) -> &NamespaceResolver {
        &self.names
    }

    /// What has not been read yet.
    pub(super) fn rest(&self) -> &'t str {
        self.text.get(self.at()..).unwrap_or_default()
    }

    /// Goes past text that was read from [`Source::rest`]: whole elements, right behind a tag.
    pub(super) fn skip(&mut self, bytes: usize) {
        let bytes = bytes.min(self.rest().len());
        self.reader.stream().consume(bytes);
    }
}
