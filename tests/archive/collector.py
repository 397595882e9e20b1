"""earbudget-collect as a module, whose functions tests call without a process for each call."""
import importlib.machinery
import importlib.util
import os


def collector_of(root):
    path = os.fspath(root / "src/archive/earbudget-collect")
    loader = importlib.machinery.SourceFileLoader("earbudget_collect", path)
    module = importlib.util.module_from_spec(importlib.util.spec_from_loader(loader.name, loader))
    loader.exec_module(module)
    return module
