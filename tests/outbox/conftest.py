"""A print server of the tests' own: CUPS on the loopback, with queues that print into files."""

import os
import shutil
import socket
import subprocess
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

# A printer that takes PDF as it is, on A6, A5 and any size up to A4. Keywords by Adobe's PPD specification 4.3
# and the CUPS PPD extensions (*cupsFilter2).
PPD = """*PPD-Adobe: "4.3"
*FormatVersion: "4.3"
*FileVersion: "1.0"
*LanguageVersion: English
*LanguageEncoding: ISOLatin1
*PCFileName: "INTAKE.PPD"
*Manufacturer: "Intake"
*Product: "(Tests)"
*ModelName: "PDF into a file"
*ShortNickName: "PDF into a file"
*NickName: "PDF into a file"
*PSVersion: "(3010.000) 0"
*LanguageLevel: "3"
*ColorDevice: False
*cupsFilter2: "application/vnd.cups-pdf application/pdf 0 -"
*OpenUI *PageSize/Media Size: PickOne
*DefaultPageSize: A6
*PageSize A6/A6: ""
*PageSize A5/A5: ""
*CloseUI: *PageSize
*OpenUI *PageRegion/Media Region: PickOne
*DefaultPageRegion: A6
*PageRegion A6/A6: ""
*PageRegion A5/A5: ""
*CloseUI: *PageRegion
*DefaultImageableArea: A6
*ImageableArea A6/A6: "0 0 298 420"
*ImageableArea A5/A5: "0 0 420 595"
*DefaultPaperDimension: A6
*PaperDimension A6/A6: "298 420"
*PaperDimension A5/A5: "420 595"
*VariablePaperSize: True
*MaxMediaWidth: "595"
*MaxMediaHeight: "842"
*HWMargins: 0 0 0 0
*CustomPageSize True: ""
*ParamCustomPageSize Width: 1 points 36 595
*ParamCustomPageSize Height: 2 points 36 842
*ParamCustomPageSize WidthOffset: 3 points 0 0
*ParamCustomPageSize HeightOffset: 4 points 0 0
*ParamCustomPageSize Orientation: 5 int 0 0
"""
CUPSD_CONF = """Listen 127.0.0.1:{port}
LogLevel debug
Browsing No
MaxLogSize 0
DefaultAuthType None
WebInterface No
<Location />
  Order allow,deny
  Allow from localhost
</Location>
<Policy default>
  <Limit All>
    Order allow,deny
    Allow from localhost
  </Limit>
</Policy>
"""
FILES_CONF = """FileDevice Yes
ServerRoot {root}/etc
RequestRoot {root}/spool
CacheDir {root}/cache
StateDir {root}/run
TempDir {root}/spool/tmp
AccessLog {root}/log/access_log
ErrorLog {root}/log/error_log
PageLog {root}/log/page_log
"""


@dataclass
class PrintServer:
    """A running CUPS with its address; its queues print into files of a folder."""

    address: str
    root: Path

    def add(self, queue: str) -> Path:
        """Adds a queue; returns the file that holds the last job that it printed."""
        paper = self.root / "paper" / f"{queue}.pdf"
        paper.touch()
        ppd = self.root / "printer.ppd"
        ppd.write_text(PPD)
        self.admin("lpadmin", "-p", queue, "-E", "-v", paper.as_uri(), "-P", str(ppd))
        return paper

    def admin(self, *words: str) -> None:
        """Runs one of CUPS's own commands against this server."""
        environment = {**os.environ, "CUPS_SERVER": self.address, "LC_ALL": "C.UTF-8"}
        done = subprocess.run(words, env=environment, capture_output=True, text=True, check=False, timeout=30)
        assert done.returncode == 0, done.stderr


@pytest.fixture(scope="session")
def print_server() -> Iterator[PrintServer]:
    """A CUPS server on a free port of the loopback, gone again at the end."""
    if not (shutil.which("cupsd", path="/usr/sbin:/usr/local/sbin") and shutil.which("lp")):
        if os.environ.get("CI"):
            pytest.fail("CUPS is not installed, and CI has to test against it")
        pytest.skip("CUPS is not installed")
    # Not under tmp_path: the filters run as CUPS's own user and have to reach the folder.
    with tempfile.TemporaryDirectory(prefix="intake-cups-") as folder:
        root = Path(folder)
        root.chmod(0o755)
        for name in ("etc", "spool/tmp", "cache", "run", "log", "paper"):
            (root / name).mkdir(parents=True)
        server = PrintServer(f"127.0.0.1:{free_port()}", root)
        (root / "etc/cupsd.conf").write_text(CUPSD_CONF.format(port=server.address.split(":")[1]))
        (root / "etc/cups-files.conf").write_text(FILES_CONF.format(root=root))
        command = ["/usr/sbin/cupsd", "-f", "-c", str(root / "etc/cupsd.conf"), "-s", str(root / "etc/cups-files.conf")]
        with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
            try:
                wait_for(server, process)
                yield server
            finally:
                process.terminate()


def free_port() -> int:
    """A port of the loopback on which nothing listens."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def wait_for(server: PrintServer, process: subprocess.Popen[bytes]) -> None:
    """Returns when the server answers."""
    host, port = server.address.split(":")
    deadline = time.monotonic() + 20
    while time.monotonic() < deadline:
        with socket.socket() as probe:
            if probe.connect_ex((host, int(port))) == 0:
                return
        assert process.poll() is None, (server.root / "log/error_log").read_text()
        time.sleep(0.05)
    pytest.fail("CUPS did not start within 20 seconds")
