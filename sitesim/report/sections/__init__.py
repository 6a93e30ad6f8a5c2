"""The page's sections, each the answer to a plain question; empty where there is nothing to say."""
