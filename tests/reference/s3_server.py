"""A server that speaks S3, on loopback, until standard input is closed: moto's, which keeps objects in memory.

Prints the port once the bucket `games` is there. Its libraries are in a folder of their own (tests/object-storage.txt), named by
SCRIM_OBJECT_STORAGE: they ask for other versions than the reference checks do.
"""

import os
import sys
import urllib.request

sys.path.insert(0, os.environ["SCRIM_OBJECT_STORAGE"])

from moto.server import ThreadedMotoServer  # noqa: E402

server = ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
server.start()
_, port = server.get_host_and_port()
make = urllib.request.Request(
    f"http://127.0.0.1:{port}/games",
    method="PUT",
    headers={"Authorization": "AWS4-HMAC-SHA256 Credential=test/20410101/us-east-1/s3/aws4_request"},
)
urllib.request.urlopen(make, timeout=30).close()
print(port, flush=True)
sys.stdin.read()
server.stop()
