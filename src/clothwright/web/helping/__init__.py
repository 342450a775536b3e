"""Help on the pages: the guide, the chapter each page leads to, and what stands beside a field that is hard to fill in."""
