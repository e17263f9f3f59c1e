#!/usr/bin/env python
"""Django's command line for Cagenote."""

import os
import sys


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "portal.settings")
    # The lift's matrices are small: more threads each would only take turns with the other processes of the site.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    if sys.argv[1:2] == ["demo"]:
        from portal.demo import environment

        environment.enter()
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
