"""yarn"""
