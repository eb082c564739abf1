"""A Python that finds this on its path has no extra `artgen[reading]`: lettering in pixels, which takes seconds a panel, is not
looked for. For commands run as processes of their own (`quick.ENVIRONMENT`)."""

import sys
from typing import Any, cast

cast(dict[str, Any], sys.modules)["onnxruntime"] = None
