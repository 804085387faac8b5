"""What the browser shows first: the frame around every page. Run by `shopsim app`."""

import importlib
import importlib.util
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
if "app" not in sys.modules:
    # In the source tree this folder is `app`, in an installation `shopsim/app`; pages call it `app` in both.
    spec = importlib.util.spec_from_file_location("app", HERE / "__init__.py", submodule_search_locations=[str(HERE)])
    assert spec is not None
    assert spec.loader is not None
    sys.modules["app"] = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(sys.modules["app"])

# Worker processes that read the main module anew must not open a front end of their own.
if __name__ == "__main__":
    importlib.import_module("app.frame").show(HERE)
