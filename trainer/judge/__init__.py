"""From facts to a judgement."""
