"""What a study found, told to people: a sentence, tables in the terminal, and one page that opens offline."""
