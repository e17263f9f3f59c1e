"""The same clip sent in another way: how far do readings and instants move?"""
