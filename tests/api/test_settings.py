"""Settings come from the environment, once, and a wrong one stops the start with its name."""

from __future__ import annotations

import pytest

from service.settings import Settings, read_settings


def test_nothing_set_gives_the_defaults():
    assert read_settings({}) == Settings()


def test_every_setting_is_read():
    read = read_settings(
        {
            "CHAIN_SERVICE_API_KEYS": "one, two,,",
            "CHAIN_SERVICE_ALLOWED_ORIGINS": "https://a.example",
            "CHAIN_SERVICE_MAX_BODY_BYTES": "2000",
            "CHAIN_SERVICE_MAX_BATCH_BODY_BYTES": "20000",
            "CHAIN_SERVICE_MAX_HEADER_BYTES": "3000",
            "CHAIN_SERVICE_MAX_CONCURRENT_REQUESTS": "4",
            "CHAIN_SERVICE_BODY_TIMEOUT_S": "0.5",
            "CHAIN_SERVICE_SHUTDOWN_TIMEOUT_S": "2.5",
            "CHAIN_SERVICE_LOG_REQUESTS": "0",
        }
    )
    assert read == Settings(
        api_keys=("one", "two"),
        allowed_origins=("https://a.example",),
        max_body_bytes=2000,
        max_batch_body_bytes=20_000,
        max_header_bytes=3000,
        max_concurrent_requests=4,
        body_timeout_s=0.5,
        shutdown_timeout_s=3,
        log_requests=False,
    )


@pytest.mark.parametrize("text", ["many", "0", "-1", "nan", "inf", "1e12"])
@pytest.mark.parametrize(
    "name", ["MAX_BODY_BYTES", "MAX_BATCH_BODY_BYTES", "BODY_TIMEOUT_S", "MAX_CONCURRENT_REQUESTS"]
)
def test_wrong_number_names_its_variable(name, text):
    with pytest.raises(ValueError, match=f"CHAIN_SERVICE_{name}"):
        read_settings({f"CHAIN_SERVICE_{name}": text})
