import sys

from assistant.cli import main

sys.exit(main())
