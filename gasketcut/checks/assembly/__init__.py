"""Do the parts that are bolted together go together?"""
