"""Two revisions, as they were kept, to what changed between them: panel by panel, word by word, finding by finding.

`kept` = what a revision keeps of itself, so that the old art is not needed; `difference` compares pictures; `changes` puts it
together; `saying`, `sheet` and `web_page` show it.
"""

from .changes import Between, compare
from .kept import Kept, kept_of, manifest_bytes, manifest_of, picture_files, read_manifest

__all__ = ["Between", "Kept", "compare", "kept_of", "manifest_bytes", "manifest_of", "picture_files", "read_manifest"]
