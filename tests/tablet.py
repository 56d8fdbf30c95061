"""A headless Chromium as a supervisor's tablet: opened, logged in, photographed."""

import base64
import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Final
from urllib.parse import urlsplit

from full_board import CODE
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.ui import WebDriverWait

WITHIN_S: Final = 10.0
LYING, STANDING = (1024, 768), (800, 1280)
"""Pixels of a tablet held either way."""


class Tablet:
    """Close it when done. `missing` says why there can be none."""

    def __init__(self, profile: Path, size: tuple[int, int] = LYING) -> None:
        options = webdriver.ChromeOptions()
        options.binary_location = shutil.which("chromium") or ""
        for argument in ("--headless=new", "--no-sandbox", "--disable-dev-shm-usage", "--disable-gpu"):
            options.add_argument(argument)
        options.add_argument(f"--user-data-dir={profile}")
        options.add_argument("--autoplay-policy=no-user-gesture-required")
        options.set_capability("goog:loggingPrefs", {"performance": "ALL", "browser": "ALL"})
        self.driver = webdriver.Chrome(options, webdriver.ChromeService(shutil.which("chromedriver")))
        self.sized(size)

    @staticmethod
    def missing() -> str:
        absent = [name for name in ("chromium", "chromedriver") if shutil.which(name) is None]
        return (
            f"{' and '.join(absent)} not here; tests/board/install_browser.sh installs them" if absent else ""
        )

    def sized(self, size: tuple[int, int]) -> None:
        """The page's own size, whatever the window adds to it."""
        metrics = {"width": size[0], "height": size[1], "deviceScaleFactor": 1, "mobile": False}
        self.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)

    def opened(self, address: str) -> "Tablet":
        """The page, logged in with the supervisor's code."""
        self.driver.get(address)
        self.log_in(CODE)
        self.until(lambda: self.one("board").is_displayed())
        return self

    def log_in(self, code: str) -> None:
        self.until(lambda: self.one("code").is_displayed())
        self.one("code").send_keys(code)
        self.press("#login button")

    def one(self, name: str) -> WebElement:
        return self.driver.find_element(By.ID, name)

    def press(self, selector: str) -> None:
        self.driver.find_element(By.CSS_SELECTOR, selector).click()

    def texts(self, selector: str) -> list[str]:
        """What stands in every part that the selector finds, read at one moment."""
        found: list[str] = self.driver.execute_script(
            "return Array.from(document.querySelectorAll(arguments[0]), part => part.innerText)", selector
        )
        return found

    def until(self, holds: Callable[[], bool], within_s: float = WITHIN_S) -> None:
        WebDriverWait(self.driver, within_s, poll_frequency=0.02).until(lambda _: holds())

    def hosts(self) -> set[str]:
        """Every host that was asked for anything so far."""
        messages = [json.loads(entry["message"])["message"] for entry in self._logged("performance")]
        asked = [
            m["params"]["request"]["url"] for m in messages if m["method"] == "Network.requestWillBeSent"
        ]
        return {urlsplit(url).netloc for url in asked}

    def complaints(self) -> list[str]:
        """Errors in the browser's own console."""
        return [entry["message"] for entry in self._logged("browser") if entry["level"] == "SEVERE"]

    def _logged(self, kind: str) -> list[dict[str, str]]:
        entries: list[dict[str, str]] = self.driver.get_log(kind)  # type: ignore[no-untyped-call]
        return entries

    def photograph(self, path: Path, grey: bool = False) -> None:
        """The whole page."""
        kind = "achromatopsia" if grey else "none"
        self.driver.execute_cdp_cmd("Emulation.setEmulatedVisionDeficiency", {"type": kind})
        high = self.driver.execute_script("return document.documentElement.scrollHeight")
        wide = self.driver.execute_script("return window.innerWidth")
        clip = {"x": 0, "y": 0, "width": wide, "height": high, "scale": 1}
        shot = self.driver.execute_cdp_cmd(
            "Page.captureScreenshot", {"captureBeyondViewport": True, "clip": clip}
        )
        path.write_bytes(base64.b64decode(shot["data"]))

    def close(self) -> None:
        self.driver.quit()
